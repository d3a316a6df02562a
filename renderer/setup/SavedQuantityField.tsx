import { type QuantityKind, type UnitOf, withUnitNamed } from '../../shared-lib/format-quantity.ts';
import { QuantityField } from '../ui/QuantityField.tsx';
import { formatSignificant } from '../../shared-lib/format-significant.ts';
import { quantityReader, type QuantityRule } from '../ui/read-quantity.ts';
import { useTypedInUnit } from '../ui/use-typed-in-unit.ts';

interface SavedQuantityFieldProps<Kind extends QuantityKind> {
  readonly label: string;
  readonly rule: QuantityRule<Kind>;
  readonly saved: number | null;
  /** Null: the field was emptied. */
  readonly save: (value: number | null) => Promise<boolean>;
  readonly help?: string;
  readonly placeholder?: string;
}

/** A quantity that is saved when its field is left, unless it cannot be read. */
export function SavedQuantityField<Kind extends QuantityKind>({
  rule,
  saved,
  save,
  ...field
}: SavedQuantityFieldProps<Kind>) {
  // Null: nothing was typed since it was saved.
  const [draft, writeDraft] = useTypedInUnit<string | null, UnitOf<Kind>>(null, rule.unit, (typed, unit) =>
    typed === null ? null : withUnitNamed(typed, rule.kind, unit),
  );
  const savedText = saved === null ? '' : formatSignificant(saved, rule.unit);
  const read = quantityReader(rule);
  const saveIfChanged = async () => {
    if (draft === null || draft === savedText) return;
    const isEmpty = draft.trim() === '';
    const reading = read(draft);
    if (!isEmpty && 'problem' in reading) return;
    if (await save(isEmpty || 'problem' in reading ? null : reading.value)) {
      writeDraft((now) => (now === draft ? null : now));
    }
  };
  return (
    <QuantityField
      {...field}
      typed={draft ?? savedText}
      onTyped={(typed) => writeDraft(() => (typed === savedText ? null : typed))}
      parse={read}
      onBlur={() => void saveIfChanged()}
    />
  );
}
