import { type ReactNode, useState } from 'react';
import type { Standard } from '../../../shared-lib/calibration/standards-model.ts';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { Dialog } from '../../ui/Dialog.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import type { FormReading } from '../../ui/form-reader.ts';

export interface StandardDialogProps<Form> {
  readonly title: string;
  readonly start: Form;
  readonly read: (form: Form) => FormReading<Standard>;
  readonly fields: (form: Form, onChange: (part: Partial<Form>) => void) => ReactNode;
  readonly save: (standard: Standard) => Promise<void>;
  /** The form of the next one after this has been saved; left out where one alone is changed. */
  readonly nextLike?: (form: Form) => Form;
  readonly onSaved: (standard: Standard) => void;
  readonly onClose: () => void;
}

/** One weight, arm or place; mount it when it is wanted. What was typed stands until it has been saved. */
export function StandardDialog<Form extends object>({
  title,
  start,
  read,
  fields,
  save,
  nextLike,
  onSaved,
  onClose,
}: StandardDialogProps<Form>) {
  const [form, setForm] = useState(start);
  const [savedCount, setSavedCount] = useState(0);
  const { run, isBusy, error } = useAction();
  const reading = read(form);
  const standard = 'value' in reading ? reading.value : null;

  const saveIt = async (then: () => void) => {
    if (standard === null || isBusy) return;
    if (!(await run(() => save(standard)))) return;
    onSaved(standard);
    then();
  };
  return (
    <Dialog
      title={title}
      isOpen
      onClose={onClose}
      actions={
        <>
          <Button
            look="primary"
            isDisabled={standard === null}
            isPending={isBusy}
            onPress={() => void saveIt(onClose)}
          >
            Save
          </Button>
          {nextLike === undefined ? null : (
            <Button
              isDisabled={standard === null}
              isPending={isBusy}
              onPress={() =>
                void saveIt(() => {
                  setForm(nextLike(form));
                  setSavedCount((count) => count + 1);
                })
              }
            >
              Save, then another like it
            </Button>
          )}
          <Button look="quiet" onPress={onClose}>
            {savedCount === 0 ? 'Leave without saving' : 'Close'}
          </Button>
        </>
      }
    >
      <div key={savedCount} className="standard-fields">
        {fields(form, (part) => setForm((before) => ({ ...before, ...part })))}
      </div>
      <p className="standards-missing" role="status">
        {'missing' in reading ? `Still needed: ${reading.missing.join(', ')}.` : ''}
        {savedCount === 0 ? '' : ` Saved ${savedCount} so far.`}
      </p>
      <FailureNotice error={error} />
    </Dialog>
  );
}
