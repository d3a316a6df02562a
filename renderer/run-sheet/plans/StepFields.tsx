import { Button } from '../../ui/Button.tsx';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { FieldGrid } from '../../ui/Panel.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { planReaders, type StepForm } from './plan-form.ts';

const kinds = [
  { key: 'tighten', label: 'Tighten' },
  { key: 'breakaway', label: 'Break away' },
  { key: 'stall', label: 'Stall' },
  { key: 'endurance', label: 'Endurance' },
] as const;
const directions = [
  { key: 'forward', label: 'Forward' },
  { key: 'reverse', label: 'Reverse' },
] as const;

interface StepFieldsProps {
  readonly number: number;
  readonly step: StepForm;
  readonly onChange: (part: Partial<StepForm>) => void;
  /** Null: the only one. */
  readonly onRemove: (() => void) | null;
}

export function StepFields({ number, step, onChange, onRemove }: StepFieldsProps) {
  return (
    <fieldset className="sheet-step">
      <legend>Step {number}</legend>
      <div className="sheet-step-choices">
        <ChoiceField
          label="Kind"
          choices={kinds}
          selected={step.kind}
          onSelect={(kind) => onChange({ kind })}
        />
        <ChoiceField
          label="Direction"
          choices={directions}
          selected={step.direction}
          onSelect={(direction) => onChange({ direction })}
        />
        {onRemove === null ? null : (
          <Button look="quiet" aria-label={`Remove step ${number}`} onPress={onRemove}>
            Remove
          </Button>
        )}
      </div>
      <FieldGrid>
        <QuantityField
          label="Time"
          typed={step.plannedTime}
          onTyped={(plannedTime) => onChange({ plannedTime })}
          parse={planReaders.plannedTime}
          isRequired
        />
        {step.kind === 'breakaway' ? (
          <QuantityField
            label="Preload"
            typed={step.preload}
            onTyped={(preload) => onChange({ preload })}
            parse={planReaders.preload}
            help="What the fastener is tightened to before"
            isRequired
          />
        ) : null}
        <QuantityField
          label="Times in a row"
          typed={step.repeats}
          onTyped={(repeats) => onChange({ repeats })}
          parse={planReaders.repeats}
          isRequired
        />
        <QuantityField
          label="Rest before the next pull"
          typed={step.rest}
          onTyped={(rest) => onChange({ rest })}
          parse={planReaders.rest}
          help="Of the same setup"
          isRequired
        />
      </FieldGrid>
    </fieldset>
  );
}
