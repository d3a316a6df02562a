import { FieldGrid, Panel } from '../../ui/Panel.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { type RunForm, runReaders } from './run-form.ts';

export interface BenchTermsFieldsProps {
  readonly form: RunForm;
  readonly onChange: (part: Partial<RunForm>) => void;
}

/** What the bench does to a calibration afterwards. Unknown is an answer: the report then says so. */
export function BenchTermsFields({ form, onChange }: BenchTermsFieldsProps) {
  return (
    <Panel
      title="From today to a trial"
      lead="What the bench does to the calibration until it is used. Leave empty what you do not know: it is then not in the uncertainty at bench time, and the report says so."
    >
      <FieldGrid>
        <QuantityField
          label="Temperature of the bench, ± from today’s"
          typed={form.temperatureSpan}
          onTyped={(temperatureSpan) => onChange({ temperatureSpan })}
          parse={runReaders.temperatureSpan}
          placeholder="such as 8 K"
        />
        <QuantityField
          label="Span changes with temperature, per kelvin"
          typed={form.spanPerKelvin}
          onTyped={(spanPerKelvin) => onChange({ spanPerKelvin })}
          parse={runReaders.perKelvin}
          placeholder="such as 0.005 %"
          help="Of the data sheet"
        />
        <QuantityField
          label="Zero changes with temperature, per kelvin"
          typed={form.zeroPerKelvin}
          onTyped={(zeroPerKelvin) => onChange({ zeroPerKelvin })}
          parse={runReaders.perKelvin}
          placeholder="such as 0.005 %"
          help="Of capacity, between the zero and the trial"
        />
        <QuantityField
          label="Drift until the calibration ends"
          typed={form.drift}
          onTyped={(drift) => onChange({ drift })}
          parse={runReaders.drift}
          placeholder="such as 0.1 %"
          help="As a limit, from earlier calibrations"
        />
      </FieldGrid>
    </Panel>
  );
}
