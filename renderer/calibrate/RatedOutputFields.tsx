import type { ReactNode } from 'react';
import { ChoiceField } from '../ui/ChoiceField.tsx';
import { FieldGrid } from '../ui/Panel.tsx';
import { QuantityField } from '../ui/QuantityField.tsx';
import { useTorqueDisplay } from '../ui/torque-display.ts';
import { type CalibrationForm, readers, torqueReader } from './calibration-form.ts';

interface RatedOutputFieldsProps {
  readonly form: CalibrationForm;
  readonly onChange: (change: Partial<CalibrationForm>) => void;
}

/** What the data sheet says of the transducer. */
export function RatedOutputFields({ form, onChange }: RatedOutputFieldsProps) {
  const { unit } = useTorqueDisplay();
  return (
    <>
      <FieldGrid>
        <QuantityField
          label="Rated output"
          typed={form.ratedOutput}
          onTyped={(ratedOutput) => onChange({ ratedOutput })}
          parse={readers.ratedOutput}
          placeholder="such as 2.01 mV/V"
          isRequired
        />
        <QuantityField
          label="At this torque"
          typed={form.ratedTorque}
          onTyped={(ratedTorque) => onChange({ ratedTorque })}
          parse={torqueReader(unit)}
          placeholder={unit === 'Nm' ? 'such as 1500 N·m' : 'such as 1000 ft·lbf'}
          isRequired
        />
      </FieldGrid>
      <ChoiceField
        label="A clockwise load"
        choices={[
          { key: '1', label: 'raises the counts' },
          { key: '-1', label: 'lowers the counts' },
        ]}
        selected={form.countsSign}
        onSelect={(countsSign) => onChange({ countsSign })}
        help="Push the arm by hand and see; the sense is asked for again before the first trial."
      />
    </>
  );
}

interface CountsScaleFieldsProps extends RatedOutputFieldsProps {
  /** Where the counts with the shunt are read. */
  readonly shuntReading: ReactNode;
}

/** How the output becomes counts: by the amplifier's own statement, or by a shunt of known resistance. */
export function CountsScaleFields({ form, onChange, shuntReading }: CountsScaleFieldsProps) {
  return (
    <>
      <ChoiceField
        label="How output becomes counts"
        choices={[
          { key: 'shunt', label: 'By the amplifier’s shunt' },
          { key: 'stated', label: 'As its maker states' },
        ]}
        selected={form.scaleKind}
        onSelect={(scaleKind) => onChange({ scaleKind })}
      />
      {form.scaleKind === 'stated' ? (
        <FieldGrid>
          <QuantityField
            label="Counts per mV/V"
            typed={form.countsPerMvPerV}
            onTyped={(countsPerMvPerV) => onChange({ countsPerMvPerV })}
            parse={readers.countsPerMvPerV}
            isRequired
          />
        </FieldGrid>
      ) : (
        <>
          <FieldGrid>
            <QuantityField
              label="Resistance of the bridge"
              typed={form.bridgeResistance}
              onTyped={(bridgeResistance) => onChange({ bridgeResistance })}
              parse={readers.bridgeResistance}
              help="Of one arm, four being equal"
              isRequired
            />
            <QuantityField
              label="Resistance of the shunt"
              typed={form.shuntResistance}
              onTyped={(shuntResistance) => onChange({ shuntResistance })}
              parse={readers.shuntResistance}
              placeholder="such as 100 kΩ"
              isRequired
            />
          </FieldGrid>
          {shuntReading}
        </>
      )}
    </>
  );
}
