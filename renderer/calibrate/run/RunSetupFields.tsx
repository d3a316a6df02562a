import { Link } from 'wouter';
import { planRun } from '../../../shared-lib/calibration/plan-run.ts';
import type { RunSetup } from '../../../shared-lib/calibration/run-model.ts';
import type { Standards } from '../../../shared-lib/calibration/standards-model.ts';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { FieldGrid, Panel } from '../../ui/Panel.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { SelectField } from '../../ui/SelectField.tsx';
import { Checkbox } from '../../ui/Toggles.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { calibrateAddresses } from '../calibrate-addresses.ts';
import { armWords, siteWords } from '../../../shared-lib/calibration/words/standards-sentences.ts';
import { BenchTermsFields } from './BenchTermsFields.tsx';
import { LevelsEditor } from './LevelsEditor.tsx';
import { readExercises, type RunForm, runReaders, withWay } from './run-form.ts';
import { minutesOf, runSeriesOptions, runWays } from './run-options.ts';

export interface RunSetupFieldsProps {
  readonly form: RunForm;
  readonly standards: Standards;
  /** Null while the form is not complete. */
  readonly setup: RunSetup | null;
  readonly levelsNm: readonly number[];
  readonly onChange: (form: RunForm) => void;
}

export function RunSetupFields({ form, standards, setup, levelsNm, onChange }: RunSetupFieldsProps) {
  const { unit } = useTorqueDisplay();
  const change = (part: Partial<RunForm>) => onChange({ ...form, ...part });
  const isSingle = form.way === 'oneWeight';
  return (
    <>
      <Panel title="Way and series">
        <div className="run-choices">
          <ChoiceField
            label="Way"
            layout="list"
            choices={runWays}
            selected={form.way}
            onSelect={(way) => onChange(withWay(form, way))}
          />
          {isSingle ? (
            <p className="run-aside">
              Load and unload three times, put on the shorter arm, and the same again with the same weight.
              {setup === null ? '' : ` ${minutesWords(setup)}`}
            </p>
          ) : (
            <ChoiceField
              label="Series"
              layout="list"
              choices={runSeriesOptions.map((option) => ({
                ...option,
                note:
                  setup === null
                    ? option.note
                    : `${option.note} ${minutesWords({ ...setup, series: option.key })}`,
              }))}
              selected={form.series === 'twoArmLengths' ? null : form.series}
              onSelect={(series) => change({ series })}
            />
          )}
        </div>
        <ChoiceField
          label="Senses"
          choices={[
            { key: 'both', label: 'Forward, then reverse' },
            { key: 'reverseFirst', label: 'Reverse, then forward' },
            { key: 'forward', label: 'Forward alone' },
            { key: 'reverse', label: 'Reverse alone' },
          ]}
          selected={form.senses}
          onSelect={(senses) => change({ senses })}
        />
      </Panel>
      <Panel
        title="Weights at each level"
        lead={isSingle ? 'The one weight, or several as one.' : 'From the lightest level to the heaviest.'}
      >
        <LevelsEditor
          weights={standards.weights}
          levels={form.levels}
          levelsNm={levelsNm}
          unit={unit}
          isSingle={isSingle}
          onLevels={(levels) => change({ levels })}
        />
      </Panel>
      <Panel
        title="Arm and place"
        actions={<Link href={calibrateAddresses.standards}>Change weights, arms and places</Link>}
      >
        <FieldGrid>
          <SelectField
            label={form.way === 'loadCell' ? 'Reaction arm' : 'Arm'}
            options={standards.arms.map((arm) => ({ key: arm.id, label: arm.name, note: armWords(arm) }))}
            selected={standards.arms.some(({ id }) => id === form.armId) ? form.armId : null}
            onSelect={(armId) => change({ armId })}
          />
          {isSingle ? (
            <SelectField
              label="Shorter arm"
              options={standards.arms.map((arm) => ({ key: arm.id, label: arm.name, note: armWords(arm) }))}
              selected={standards.arms.some(({ id }) => id === form.shortArmId) ? form.shortArmId : null}
              onSelect={(shortArmId) => change({ shortArmId })}
            />
          ) : null}
          <SelectField
            label="Place"
            options={standards.sites.map((site) => ({
              key: site.id,
              label: site.name,
              note: siteWords(site),
            }))}
            selected={standards.sites.some(({ id }) => id === form.siteId) ? form.siteId : null}
            onSelect={(siteId) => change({ siteId })}
          />
        </FieldGrid>
      </Panel>
      <Panel title="How it is read">
        <FieldGrid>
          <QuantityField
            label="Dwell"
            typed={form.dwell}
            onTyped={(dwell) => change({ dwell })}
            parse={runReaders.dwell}
            help="A reading must be still for so long; the same for all, 30 s as a rule"
            isRequired
          />
          <QuantityField
            label="Exercises before the first series"
            typed={form.exercises}
            onTyped={(exercises) => change({ exercises })}
            parse={readExercises}
            help="Loads to the highest level and back, three as a rule; one after each remounting"
            isRequired
          />
        </FieldGrid>
        <div className="run-checks">
          <Checkbox isSelected={form.warmUp} onChange={(warmUp) => change({ warmUp })}>
            Warm-up: wait until the zero changes by less than 0.05 % of capacity in 10 min
          </Checkbox>
          <Checkbox isSelected={form.creep} onChange={(creep) => change({ creep })}>
            Creep: read the highest load after 30 s and after 300 s
          </Checkbox>
          <Checkbox isSelected={form.bending} onChange={(bending) => change({ bending })}>
            Bending: shift the highest load sideways
          </Checkbox>
        </div>
      </Panel>
      <BenchTermsFields form={form} onChange={change} />
    </>
  );
}

/** Readings of a series do not hang on the torques, so none are needed for the time they take. */
function minutesWords(setup: RunSetup): string {
  return `About ${minutesOf(planRun(setup, { arm: [], shortArm: [] }), setup.dwellS)} min.`;
}
