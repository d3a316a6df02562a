import type { CurvesPreview } from '../../../../shared-lib/exchange/exchange-requests.ts';
import { Button } from '../../../ui/Button.tsx';
import { ChoiceField } from '../../../ui/ChoiceField.tsx';
import { DayField } from '../../../ui/DayField.tsx';
import { ActionRow, FieldGrid } from '../../../ui/Panel.tsx';
import { QuantityField } from '../../../ui/QuantityField.tsx';
import { TextField } from '../../../ui/TextField.tsx';
import { type CurveForm, readCurveForm, readPlannedTime, readUncertainty } from './curve-form.ts';

export interface TakeInFormProps {
  readonly form: CurveForm;
  readonly preview: CurvesPreview;
  readonly isBusy: boolean;
  readonly isReading: boolean;
  readonly onForm: (form: CurveForm) => void;
  readonly onTakeIn: () => void;
  readonly onGiveUp: () => void;
}

const kinds = [
  { key: 'tighten', label: 'Tighten' },
  { key: 'stall', label: 'Stall' },
] as const;
const directions = [
  { key: 'forward', label: 'Forward' },
  { key: 'reverse', label: 'Reverse' },
] as const;

/** What the file does not say of its curves. */
export function TakeInForm({
  form,
  preview,
  isBusy,
  isReading,
  onForm,
  onTakeIn,
  onGiveUp,
}: TakeInFormProps) {
  const change = (changes: Partial<CurveForm>): void => onForm({ ...form, ...changes });
  const reading = readCurveForm(form, preview);
  const count = preview.curves.length;
  return (
    <>
      <FieldGrid>
        {preview.curves.map(({ label }) => (
          <TextField
            key={label}
            label={`Tool of “${label}”`}
            value={form.toolNames[label] ?? ''}
            onChange={(name) => change({ toolNames: { ...form.toolNames, [label]: name } })}
            maxLength={80}
            isRequired
          />
        ))}
        <ChoiceField
          label="Kind of pull"
          choices={kinds}
          selected={form.kind}
          onSelect={(kind) => change({ kind })}
        />
        <ChoiceField
          label="Direction"
          choices={directions}
          selected={form.direction}
          onSelect={(direction) => change({ direction })}
        />
        <QuantityField
          label="Time of the pull"
          typed={form.planned}
          onTyped={(planned) => change({ planned })}
          parse={readPlannedTime}
          help="Left empty: as long as each curve goes on, down to a half second. Only pulls of one time compare."
        />
        <DayField label="Measured on" day={form.day} onDay={(day) => change({ day })} />
        <TextField
          label="Bench it was measured on"
          value={form.benchName}
          onChange={(benchName) => change({ benchName })}
          maxLength={80}
          help="Curves of one bench share its name."
          isRequired
        />
        <QuantityField
          label="Stated uncertainty of that bench"
          typed={form.uncertainty}
          onTyped={(uncertainty) => change({ uncertainty })}
          parse={readUncertainty}
          help="Expanded (k = 2), relative. Left empty: none was stated, and the trials are not ranked with those of other benches."
        />
        <TextField label="Note" value={form.note} onChange={(note) => change({ note })} maxLength={2000} />
      </FieldGrid>
      <p className="share-soft">
        No zero was taken and no amplifier is known, so the trials say “as given in the file”. How true that
        bench is, above all under blows, nobody can see from a curve.
      </p>
      {'missing' in reading ? <p role="status">Still needed: {reading.missing.join(', ')}.</p> : null}
      <ActionRow>
        <Button
          look="primary"
          isDisabled={'missing' in reading || isReading}
          isPending={isBusy}
          onPress={onTakeIn}
        >
          Take in {count} {count === 1 ? 'trial' : 'trials'}
        </Button>
        <Button isDisabled={isBusy} onPress={onGiveUp}>
          Choose another file
        </Button>
      </ActionRow>
    </>
  );
}
