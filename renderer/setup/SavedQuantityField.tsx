import type { QuantityKind } from '../../shared-lib/format-quantity.ts';
import { QuantityField } from '../ui/QuantityField.tsx';
import { formatSignificant } from '../../shared-lib/format-significant.ts';
import { quantityReader, type QuantityRule } from '../ui/read-quantity.ts';
import { useDraft } from './use-draft.ts';

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
  const draft = useDraft(saved === null ? '' : formatSignificant(saved, rule.unit));
  const read = quantityReader(rule);
  const saveIfChanged = async () => {
    if (!draft.isChanged) return;
    const isEmpty = draft.typed.trim() === '';
    const reading = read(draft.typed);
    if (!isEmpty && 'problem' in reading) return;
    if (await save(isEmpty || 'problem' in reading ? null : reading.value)) draft.forget();
  };
  return (
    <QuantityField
      {...field}
      typed={draft.typed}
      onTyped={draft.onTyped}
      parse={read}
      onBlur={() => void saveIfChanged()}
    />
  );
}
