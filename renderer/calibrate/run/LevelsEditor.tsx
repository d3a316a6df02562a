import { CheckboxButton, CheckboxField } from 'react-aria-components';
import { Check } from 'lucide-react';
import type { TorqueUnit } from '../../../shared-lib/api-contract.ts';
import type { Weight } from '../../../shared-lib/calibration/standards-model.ts';
import { Button } from '../../ui/Button.tsx';
import { ActionRow } from '../../ui/Panel.tsx';
import { formatSignificant } from '../../../shared-lib/format-significant.ts';
import '../../ui/fields.css';
import '../figure-table.css';
import { levelTorqueFormat } from './level-torque.ts';
import { MOST_LEVELS, risingLevels } from './run-form.ts';

export interface LevelsEditorProps {
  readonly weights: readonly Weight[];
  readonly levels: readonly (readonly string[])[];
  /** Torque of each level; empty while it is not known. */
  readonly levelsNm: readonly number[];
  readonly unit: TorqueUnit;
  /** With one weight there is one level. */
  readonly isSingle: boolean;
  readonly onLevels: (levels: string[][]) => void;
}

/** Which weights hang at which level: a row for each level, a column for each weight. */
export function LevelsEditor({ weights, levels, levelsNm, unit, isSingle, onLevels }: LevelsEditorProps) {
  const copy = () => levels.map((ids) => [...ids]);
  const used = weights.filter(({ id }) => levels.some((ids) => ids.includes(id)));
  const toggle = (level: number, id: string, isHung: boolean) => {
    const next = copy();
    const ids = next[level] ?? [];
    next[level] = isHung ? [...ids, id] : ids.filter((other) => other !== id);
    onLevels(next);
  };
  const format = levelTorqueFormat(levelsNm, unit);
  const torqueWords = (torqueNm: number | undefined) => (torqueNm === undefined ? '–' : format(torqueNm));
  const addLevel = () => {
    const last = levels.at(-1) ?? [];
    const more = weights.find(({ id }) => !last.includes(id));
    onLevels([...copy(), more === undefined ? [...last] : [...last, more.id]]);
  };
  return (
    <div className="run-levels">
      <ActionRow>
        {isSingle ? null : (
          <>
            <Button onPress={() => onLevels(risingLevels(weights.slice(0, MOST_LEVELS)))}>
              One weight more at each level, all {Math.min(weights.length, MOST_LEVELS)}
            </Button>
            {used.length > 0 && used.length < weights.length ? (
              <Button onPress={() => onLevels(risingLevels(used))}>
                The same with the {used.length} in use
              </Button>
            ) : null}
          </>
        )}
        <Button
          onPress={addLevel}
          isDisabled={levels.length >= (isSingle ? 1 : MOST_LEVELS) || weights.length === 0}
        >
          Add a level
        </Button>
      </ActionRow>
      {levels.length === 0 ? (
        <p className="run-aside">No level yet: say what hangs at each, from the lightest to the heaviest.</p>
      ) : (
        <div className="figure-table-frame">
          <table className="figure-table run-levels-table">
            <thead>
              <tr>
                <th scope="col">Level</th>
                {weights.map(({ id, name }) => (
                  <th key={id} scope="col" className="run-levels-weight">
                    {name}
                  </th>
                ))}
                <th scope="col" className="figure-table-number">
                  Mass
                </th>
                <th scope="col" className="figure-table-number">
                  Torque
                </th>
                <th scope="col">
                  <span className="visually-hidden">Remove</span>
                </th>
              </tr>
            </thead>
            <tbody>
              {levels.map((ids, level) => (
                <tr key={level}>
                  <th scope="row">{level + 1}</th>
                  {weights.map(({ id, name }) => (
                    <td key={id} className="run-levels-weight">
                      <HangsHere
                        label={`${name} at level ${level + 1}`}
                        isHung={ids.includes(id)}
                        onChange={(isHung) => toggle(level, id, isHung)}
                      />
                    </td>
                  ))}
                  <td className="figure-table-number">{massWords(ids, weights)}</td>
                  <td className="figure-table-number">{torqueWords(levelsNm[level])}</td>
                  <td>
                    <Button
                      look="quiet"
                      aria-label={`Remove level ${level + 1}`}
                      onPress={() => onLevels(copy().filter((_, place) => place !== level))}
                    >
                      Remove
                    </Button>
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
    </div>
  );
}

interface HangsHereProps {
  readonly label: string;
  readonly isHung: boolean;
  readonly onChange: (isHung: boolean) => void;
}

function HangsHere({ label, isHung, onChange }: HangsHereProps) {
  return (
    <CheckboxField isSelected={isHung} onChange={onChange} aria-label={label}>
      <CheckboxButton className="ui-check run-levels-check">
        <span className="ui-check-mark" aria-hidden="true">
          {isHung ? <Check size={18} strokeWidth={3} /> : null}
        </span>
      </CheckboxButton>
    </CheckboxField>
  );
}

function massWords(ids: readonly string[], weights: readonly Weight[]): string {
  const massKg = weights.reduce((sum, { id, massKg: mass }) => sum + (ids.includes(id) ? mass : 0), 0);
  return formatSignificant(massKg, 'kg');
}
