import { X } from 'lucide-react';
import type { Settings } from '../../shared-lib/api-contract.ts';
import { withUnitNamed } from '../../shared-lib/format-quantity.ts';
import { Button } from '../ui/Button.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { ActionRow, Panel } from '../ui/Panel.tsx';
import { levelWords } from '../../shared-lib/level-words.ts';
import { QuantityField } from '../ui/QuantityField.tsx';
import { quantityReader } from '../ui/read-quantity.ts';
import { useTypedInUnit } from '../ui/use-typed-in-unit.ts';
import { areRoundIn, MAX_LEVELS, usualLevelsNm, withLevel, withoutLevel } from './level-list.ts';
import { useSaveSettings } from './use-save-settings.ts';

export function LevelsSection({ settings }: { readonly settings: Settings }) {
  const { save, error } = useSaveSettings();
  const { levelsNm, torqueUnit } = settings;
  const [typed, writeTyped] = useTypedInUnit('', torqueUnit, (text, unit) =>
    withUnitNamed(text, 'torque', unit),
  );
  const parse = quantityReader({ kind: 'torque', unit: torqueUnit, min: 0, max: 1e6, isMinExcluded: true });
  const reading = parse(typed);
  const isFull = levelsNm.length >= MAX_LEVELS;

  const add = async () => {
    if ('value' in reading && (await save({ levelsNm: withLevel(levelsNm, reading.value) }))) {
      writeTyped(() => '');
    }
  };

  return (
    <Panel
      title="Levels for time to level"
      lead="For each of these the program measures how long a tool takes to reach it and hold it. At most six."
    >
      {levelsNm.length === 0 ? (
        <p className="setup-aside">None yet.</p>
      ) : (
        <ul className="setup-levels" aria-label="Levels">
          {levelsNm.map((levelNm) => (
            <li key={levelNm}>
              <span>{levelWords(levelNm, torqueUnit)}</span>
              <Button
                look="quiet"
                aria-label={`Remove the level ${levelWords(levelNm, torqueUnit)}`}
                onPress={() => void save({ levelsNm: withoutLevel(levelsNm, levelNm) })}
              >
                <X size={18} aria-hidden="true" />
              </Button>
            </li>
          ))}
        </ul>
      )}
      <form
        className="setup-add"
        onSubmit={(event) => {
          event.preventDefault();
          void add();
        }}
      >
        <QuantityField
          label="Another level"
          typed={typed}
          onTyped={(text) => writeTyped(() => text)}
          parse={parse}
          placeholder={torqueUnit === 'Nm' ? 'such as 600 N·m' : 'such as 450 ft·lbf'}
          isDisabled={isFull}
        />
        <Button type="submit" isDisabled={isFull || !('value' in reading)}>
          Add this level
        </Button>
      </form>
      {areRoundIn(levelsNm, torqueUnit) ? null : (
        <ActionRow>
          <Button onPress={() => void save({ levelsNm: [...usualLevelsNm[torqueUnit]] })}>
            Take round levels instead:{' '}
            {usualLevelsNm[torqueUnit].map((levelNm) => levelWords(levelNm, torqueUnit)).join(', ')}
          </Button>
        </ActionRow>
      )}
      <FailureNotice error={error} />
    </Panel>
  );
}
