import { type ReactNode, useState } from 'react';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { Dialog } from '../../ui/Dialog.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import type { FormReading } from '../../ui/form-reader.ts';
import type { BenchItem } from './use-bench-items.ts';

interface ItemDialogProps<Form> {
  readonly title: string;
  readonly start: Form;
  readonly read: (form: Form) => FormReading<BenchItem>;
  readonly fields: (form: Form, onChange: (part: Partial<Form>) => void) => ReactNode;
  /** Not yet: what saving depends on is not known. */
  readonly isSaveBlocked?: boolean;
  /** What the button says; left out: "Save". */
  readonly saveWords?: (item: BenchItem) => string;
  readonly save: (item: BenchItem) => Promise<void>;
  readonly onClose: () => void;
}

/** One tool, pack or setup; mount it when it is wanted. What was typed stands until it has been saved. */
export function ItemDialog<Form extends object>({
  title,
  start,
  read,
  fields,
  isSaveBlocked = false,
  saveWords,
  save,
  onClose,
}: ItemDialogProps<Form>) {
  const [form, setForm] = useState(start);
  const { run, isBusy, error } = useAction();
  const reading = read(form);
  const saveIt = async () => {
    if ('missing' in reading || isSaveBlocked || isBusy) return;
    if (await run(() => save(reading.value))) onClose();
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
            isDisabled={'missing' in reading || isSaveBlocked}
            isPending={isBusy}
            onPress={() => void saveIt()}
          >
            {'missing' in reading || saveWords === undefined ? 'Save' : saveWords(reading.value)}
          </Button>
          <Button look="quiet" onPress={onClose}>
            Leave without saving
          </Button>
        </>
      }
    >
      <div className="sheet-fields">
        {fields(form, (part) => setForm((before) => ({ ...before, ...part })))}
      </div>
      <p className="sheet-missing" role="status">
        {'missing' in reading ? `Still needed: ${reading.missing.join(', ')}.` : ''}
      </p>
      <FailureNotice error={error} />
    </Dialog>
  );
}
