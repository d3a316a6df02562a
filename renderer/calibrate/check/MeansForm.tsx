import { useState } from 'react';
import type { CheckMeans } from '../../../shared-lib/calibration/daily-check-model.ts';
import type { Standards } from '../../../shared-lib/calibration/standards-model.ts';
import type { Direction } from '../../../shared-lib/trial/step-model.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { Button } from '../../ui/Button.tsx';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { DataList, DataRow } from '../../ui/DataRow.tsx';
import { EmptyState } from '../../ui/EmptyState.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { ActionRow, FieldGrid, Panel } from '../../ui/Panel.tsx';
import { formatSignificant } from '../../../shared-lib/format-significant.ts';
import { SelectField } from '../../ui/SelectField.tsx';
import { Checkbox } from '../../ui/Toggles.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { calibrateAddresses } from '../calibrate-addresses.ts';
import { FindingsList } from '../result/FindingsList.tsx';
import { firstChoice, type MeansChoice, readMeans } from './check-means.ts';

const kinds = [
  { key: 'weight', label: 'A weight on an arm' },
  { key: 'shunt', label: 'The amplifier’s shunt' },
] as const;

interface MeansFormProps {
  readonly standards: Standards;
  readonly usual: CheckMeans | null;
  /** The senses that the calibration in use has; a weight is hung in one of them. */
  readonly senses: readonly Direction[];
  readonly onChosen: (means: CheckMeans) => void;
}

/** Chosen once; from the next check on it is offered again. */
export function MeansForm({ standards, usual, senses, onChosen }: MeansFormProps) {
  const [choice, setChoice] = useState<MeansChoice>(() => firstChoice(usual, standards, senses));
  const change = (part: Partial<MeansChoice>) => setChoice((before) => ({ ...before, ...part }));
  const reading = readMeans(choice, standards);
  const { weights, arms, sites } = standards;
  const preview = useRequest('previewDailyCheck', 'means' in reading ? { means: reading.means } : null);
  const isCurrent = 'means' in reading && preview.error === null && !preview.isLoading;
  const load = isCurrent ? preview.result : null;
  const isStopped = load?.findings.some(({ severity }) => severity === 'stop') ?? true;
  const { unit } = useTorqueDisplay();
  const lacksStandards = weights.length === 0 || arms.length === 0 || sites.length === 0;

  return (
    <Panel
      title="What to check with"
      lead="Chosen once. From the next check on the same is offered again, and it is: zero, read, done."
    >
      <ChoiceField
        label="Checked with"
        choices={kinds}
        selected={choice.kind}
        onSelect={(kind) => change({ kind })}
      />
      {choice.kind === 'shunt' ? (
        <p>
          A resistor that the amplifier puts across one arm of the bridge. It checks bridge and amplifier, not
          the arm, the mounting or the transducer’s spring; its first reading under a calibration becomes the
          reference.
        </p>
      ) : lacksStandards ? (
        <EmptyState
          title="No weights to choose from yet"
          actions={
            <LinkButton href={calibrateAddresses.standards} look="primary">
              Enter weights, arms and places
            </LinkButton>
          }
        >
          <p>
            A check needs a weight, an arm and a place with its gravity. They are entered once and serve
            calibrations too.
          </p>
        </EmptyState>
      ) : (
        <>
          <ChoiceField
            label="Sense"
            choices={senses.map((key) => ({ key, label: key === 'forward' ? 'Forward' : 'Reverse' }))}
            selected={choice.sense}
            onSelect={(sense) => change({ sense })}
          />
          <div role="group" aria-label="Weights that hang together">
            {weights.map(({ id, name, massKg }) => (
              <Checkbox
                key={id}
                isSelected={choice.weightIds.includes(id)}
                onChange={(isSelected) =>
                  change({
                    weightIds: isSelected
                      ? [...choice.weightIds, id]
                      : choice.weightIds.filter((other) => other !== id),
                  })
                }
              >
                {name}, {formatSignificant(massKg, 'kg')}
              </Checkbox>
            ))}
          </div>
          <FieldGrid>
            <SelectField
              label="Arm"
              options={arms.map(({ id, name, lengthM }) => ({
                key: id,
                label: `${name}, ${formatSignificant(lengthM, 'm')}`,
              }))}
              selected={choice.armId}
              onSelect={(armId) => change({ armId })}
            />
            <SelectField
              label="Place"
              options={sites.map(({ id, name }) => ({ key: id, label: name }))}
              selected={choice.siteId}
              onSelect={(siteId) => change({ siteId })}
            />
          </FieldGrid>
        </>
      )}
      {load === null || load.torqueNm === null ? null : (
        <div className="check-load">
          <DataList label="What it comes to">
            <DataRow name="Should read" kind="figure">
              {formatSignificant(load.torqueNm, unit)}
            </DataRow>
          </DataList>
        </div>
      )}
      <FindingsList findings={load?.findings ?? []} label="What speaks against it" />
      <FailureNotice error={'means' in reading ? preview.error : null} />
      {choice.kind === 'weight' && lacksStandards ? null : (
        <ActionRow>
          <Button
            look="primary"
            isDisabled={isStopped}
            onPress={() => {
              if ('means' in reading) onChosen(reading.means);
            }}
          >
            Check with this
          </Button>
          {'missing' in reading ? (
            <span className="calibrate-aside">Still needed: {reading.missing.join(', ')}.</span>
          ) : null}
        </ActionRow>
      )}
    </Panel>
  );
}
