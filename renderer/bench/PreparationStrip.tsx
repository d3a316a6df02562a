import type { KeyboardEvent } from 'react';
import { QuantityField } from '../ui/QuantityField.tsx';
import { TextField } from '../ui/TextField.tsx';
import { isCarriedOver, type PreparationField, takenOver } from './preparation-form.ts';
import type { PreparationDraft } from './use-preparation.ts';
import './preparation-strip.css';

const CARRIED_OVER = 'carried over, not read anew';

/**
 * What the plan wants to know of a setup before its first pull. Everything stands there as it was found last; nothing
 * has to be typed, and one press takes it.
 */
export function PreparationStrip({ draft }: { readonly draft: PreparationDraft }) {
  if (draft.fields.length === 0) return null;
  return (
    <div className="preparation-strip" role="group" aria-label="Found with it" onKeyDown={leaveFieldOnEnter}>
      {draft.fields.map((field) => (
        <Field key={field.key} field={field} draft={draft} />
      ))}
    </div>
  );
}

function Field({ field, draft }: { readonly field: PreparationField; readonly draft: PreparationDraft }) {
  const { key, label, read } = field;
  const { prefilled, typed, type } = draft;
  const text = typed[key] ?? takenOver(key, prefilled);
  const help = isCarriedOver(key, prefilled, typed) ? { help: CARRIED_OVER } : {};
  return read === null ? (
    <TextField label={label} value={text} onChange={(next) => type(key, next)} maxLength={80} {...help} />
  ) : (
    <QuantityField label={label} typed={text} onTyped={(next) => type(key, next)} parse={read} {...help} />
  );
}

/** Enter gives Space back to the primary control. */
function leaveFieldOnEnter({ key, target }: KeyboardEvent): void {
  if (key === 'Enter' && target instanceof HTMLInputElement) target.blur();
}
