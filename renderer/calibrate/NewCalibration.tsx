import { type ReactNode, useState } from 'react';
import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';
import { useStatus } from '../api-client/ConnectionContext.tsx';
import { useRequest } from '../api-client/use-request.ts';
import { Button } from '../ui/Button.tsx';
import { ChoiceField } from '../ui/ChoiceField.tsx';
import { Notice } from '../ui/Notice.tsx';
import { FieldGrid, Panel } from '../ui/Panel.tsx';
import { QuantityField } from '../ui/QuantityField.tsx';
import { valueOf } from '../ui/read-quantity.ts';
import { useTorqueDisplay } from '../ui/torque-display.ts';
import { useTypedInUnit } from '../ui/use-typed-in-unit.ts';
import { ArmDrawing } from './ArmDrawing.tsx';
import {
  type CalibrationForm,
  type CountsSlot,
  emptyCalibrationForm,
  readCalibrationForm,
  readCounts,
  readers,
  torqueReader,
  withTorqueUnitNamed,
} from './calibration-form.ts';
import { CalibrationPreview } from './CalibrationPreview.tsx';
import { CountsReading } from './CountsReading.tsx';
import { HangingWeightCaution } from './HangingWeightCaution.tsx';
import { LiveCounts } from './LiveCounts.tsx';
import { CountsScaleFields, RatedOutputFields } from './RatedOutputFields.tsx';
import { SaveCalibration } from './SaveCalibration.tsx';
import type { Capture } from './steadiness.ts';
import { WeightFields } from './WeightFields.tsx';

interface NewCalibrationProps {
  readonly transducer: Transducer | null;
  readonly active: CalibrationVersion | null;
  readonly onSaved: (version: CalibrationVersion) => void;
  readonly onBeginAnew: () => void;
}

/** Mounted anew for each calibration, so that none begins with what another one left. */
export function NewCalibration({ transducer, active, onSaved, onBeginAnew }: NewCalibrationProps) {
  const status = useStatus();
  const { unit } = useTorqueDisplay();
  const [form, writeForm] = useTypedInUnit(emptyCalibrationForm, unit, withTorqueUnitNamed);
  const [captures, setCaptures] = useState<Partial<Record<CountsSlot, Capture | null>>>({});
  // Counts that were read stay those of the transducer that was on the bench then.
  const [begunWith, setBegunWith] = useState<Transducer | null>(transducer);
  const isOther = transducer !== null && begunWith?.id !== transducer.id;
  if (isOther && (begunWith === null || isUntouched(form))) setBegunWith(transducer);
  const change = (part: Partial<CalibrationForm>) => writeForm((before) => ({ ...before, ...part }));

  const reading = readCalibrationForm(form, unit);
  const input = 'input' in reading ? reading.input : null;
  const { result, error, isLoading } = useRequest('previewCalibration', input);
  const preview = input === null || isLoading ? null : result;

  const isOneWeight = form.method === 'oneWeight';
  const countsReading = (slot: CountsSlot, label: string, instruction: string) => (
    <CountsReading
      label={label}
      instruction={instruction}
      typed={form[slot]}
      capture={captures[slot] ?? null}
      deflectionCounts={deflectionFor(slot, form)}
      canCapture={status?.amplifier.link === 'connected'}
      isRequired={slot === 'zeroCounts'}
      onCounts={(typed, capture) => {
        change({ [slot]: typed });
        setCaptures((before) => ({ ...before, [slot]: capture }));
      }}
    />
  );
  const torqueField = (slot: 'forwardTorque' | 'reverseTorque', label: string) => (
    <QuantityField
      label={label}
      typed={form[slot]}
      onTyped={(typed) => change({ [slot]: typed })}
      parse={torqueReader(unit)}
      placeholder={unit === 'Nm' ? 'such as 200 N·m' : 'such as 150 ft·lbf'}
    />
  );

  const steps = () => {
    switch (form.method) {
      case 'direct':
        return (
          <>
            <Step title="Zero">
              {countsReading('zeroCounts', 'Counts without load', 'Nothing loads the transducer.')}
            </Step>
            <Step title="Forward">
              <FieldGrid>{torqueField('forwardTorque', 'Forward torque')}</FieldGrid>
              {countsReading(
                'forwardCounts',
                'Counts at the forward torque',
                'Clockwise, seen from behind the tool.',
              )}
            </Step>
            <Step title="Reverse">
              <FieldGrid>{torqueField('reverseTorque', 'Reverse torque')}</FieldGrid>
              {countsReading(
                'reverseCounts',
                'Counts at the reverse torque',
                'Counter-clockwise; the torque is entered without a sign.',
              )}
            </Step>
          </>
        );
      case 'ratedOutput':
        return (
          <>
            <Step title="Data sheet">
              <RatedOutputFields form={form} onChange={change} />
            </Step>
            <Step title="Zero">
              {countsReading('zeroCounts', 'Counts without load', 'Nothing loads the transducer.')}
            </Step>
            <Step title="From output to counts">
              <CountsScaleFields
                form={form}
                onChange={change}
                shuntReading={countsReading(
                  'shuntCounts',
                  'Counts with the shunt',
                  'Nothing loads the transducer, and the shunt is switched on.',
                )}
              />
            </Step>
          </>
        );
      case 'oneWeight':
        return (
          <>
            <Step title="Weight and arm">
              <WeightFields form={form} onChange={change} />
            </Step>
            <Step title="Zero">
              {countsReading(
                'zeroCounts',
                'Counts with the bare arm',
                'The arm is on, nothing hangs from it. So its own weight does not count.',
              )}
            </Step>
            <Step title="Forward">
              {countsReading(
                'forwardCounts',
                'Counts with the weight, forward',
                'The weight hangs so that it turns clockwise, seen from behind the tool. Wait until it hangs still.',
              )}
            </Step>
            <Step title="Reverse">
              {countsReading(
                'reverseCounts',
                'Counts with the weight, reverse',
                'The arm points to the other side and the zero has come back. Wait until the weight hangs still.',
              )}
            </Step>
          </>
        );
    }
  };

  return (
    <Panel
      title="Make a calibration"
      lead="It turns counts into torque. One sense is enough to begin with; trials are possible in the senses that were calibrated."
    >
      {isOther && begunWith !== null ? (
        <Notice
          kind="caution"
          live="alert"
          actions={<Button onPress={onBeginAnew}>Begin anew for it</Button>}
        >
          This was begun for {begunWith.name}, and {transducer.name} is on the bench now. Put {begunWith.name}{' '}
          on the bench again to go on, or begin anew.
        </Notice>
      ) : null}
      {transducer?.isSimulated === true ? (
        <Notice kind="information">
          This would calibrate the simulated transducer, which brings a calibration of its own.
        </Notice>
      ) : null}
      <ChoiceField
        label="How the torque is known"
        choices={[
          { key: 'oneWeight', label: 'One weight on an arm' },
          { key: 'direct', label: 'Known torque, known counts' },
          { key: 'ratedOutput', label: 'Rated output of the data sheet' },
        ]}
        selected={form.method}
        onSelect={(method) => change({ method })}
      />
      {isOneWeight ? <HangingWeightCaution /> : null}
      {form.method === 'ratedOutput' ? (
        <Notice kind="information">
          A lower grade of evidence: no torque is applied, so neither the rig nor the mounting nor the data
          sheet itself is checked. Weights on an arm say more.
        </Notice>
      ) : null}
      <div className="calibrate-work">
        <ol className="calibrate-steps">{steps()}</ol>
        <aside className="calibrate-side" aria-label="Reading and result">
          <LiveCounts status={status} />
          {isOneWeight ? (
            <ArmDrawing
              mass={form.mass.trim() || 'mass'}
              armLength={form.armLength.trim() || 'length'}
              armAngleDeg={valueOf(readers.armAngle(form.armAngle))}
              gravity="gravity"
            />
          ) : null}
          <h3>What it comes to</h3>
          <CalibrationPreview
            preview={preview}
            error={error}
            missing={'missing' in reading ? reading.missing : []}
            transducer={transducer}
          />
        </aside>
      </div>
      <h3>Save it</h3>
      <SaveCalibration
        input={preview === null || error !== null ? null : input}
        transducerId={begunWith?.id ?? null}
        active={active}
        onSaved={onSaved}
      />
    </Panel>
  );
}

/** Nothing has been typed or read into it. */
function isUntouched(form: CalibrationForm): boolean {
  return JSON.stringify(form) === JSON.stringify(emptyCalibrationForm);
}

function Step({ title, children }: { readonly title: string; readonly children: ReactNode }) {
  return (
    <li className="calibrate-step">
      <h3>{title}</h3>
      {children}
    </li>
  );
}

const loadedSlots: Readonly<Record<CalibrationForm['method'], readonly CountsSlot[]>> = {
  oneWeight: ['forwardCounts', 'reverseCounts'],
  direct: ['forwardCounts', 'reverseCounts'],
  ratedOutput: ['shuntCounts'],
};

/** A load is judged by its own deflection, the zero by the larger of the two. */
function deflectionFor(slot: CountsSlot, form: CalibrationForm): number | null {
  const zero = valueOf(readCounts(form.zeroCounts));
  if (zero === null) return null;
  const slots: readonly CountsSlot[] = slot === 'zeroCounts' ? loadedSlots[form.method] : [slot];
  const deflections = slots.flatMap((other) => {
    const counts = valueOf(readCounts(form[other]));
    return counts === null ? [] : [Math.abs(counts - zero)];
  });
  return deflections.length === 0 ? null : Math.max(...deflections);
}
