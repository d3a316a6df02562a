import type { AppError } from '../../shared-lib/app-error.ts';
import { TextField } from '../ui/TextField.tsx';
import { useDraft } from './use-draft.ts';

interface SavedTextFieldProps {
  readonly label: string;
  readonly saved: string;
  readonly save: (text: string) => Promise<boolean>;
  readonly error: AppError | null;
  readonly help?: string;
  readonly placeholder?: string;
  readonly maxLength?: number;
  readonly isRequired?: boolean;
}

/** A text that is saved when its field is left. */
export function SavedTextField({ saved, save, error, isRequired = false, ...field }: SavedTextFieldProps) {
  const draft = useDraft(saved);
  const isMissing = isRequired && draft.typed.trim() === '';
  const saveIfChanged = async () => {
    if (draft.isChanged && !isMissing && (await save(draft.typed.trim()))) draft.forget(draft.typed);
  };
  return (
    <TextField
      {...field}
      value={draft.typed}
      onChange={draft.onTyped}
      onBlur={() => void saveIfChanged()}
      isRequired={isRequired}
      problem={isMissing ? 'This is needed.' : draft.isChanged ? (error?.message ?? null) : null}
    />
  );
}
