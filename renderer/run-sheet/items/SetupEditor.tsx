import { useState } from 'react';
import type { Setup } from '../../../shared-lib/run-sheet/setup-model.ts';
import { setupUseWords } from '../../../shared-lib/run-sheet/setup-use.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { asKeptOrOther, emptySetupForm, readSetupForm, setupForm, type SetupForm } from './item-form.ts';
import { ItemDialog } from './ItemDialog.tsx';
import { SetupFields } from './ItemFields.tsx';
import type { BenchItem, BenchItems } from './use-bench-items.ts';

interface SetupEditorProps {
  readonly title: string;
  readonly id: string;
  /** Null: a new one. */
  readonly before: Setup | null;
  readonly items: BenchItems;
  readonly save: (item: BenchItem) => Promise<void>;
  readonly onClose: () => void;
}

/** A setup that trials go by stays what it is: what would make it another one is saved as another one. */
export function SetupEditor({ title, id, before, items, save, onClose }: SetupEditorProps) {
  const use = useRequest('getSetupUse', before === null ? null : { setupId: id }, 'trialsChanged');
  // Saved without knowing it, what goes by this setup could come to be that of another one.
  const isUseUnknown = before !== null && (use.result === null || use.error !== null);
  const [otherId] = useState(() => crypto.randomUUID());
  const useWords = use.result === null ? null : setupUseWords(use.result);
  const kept = useWords === null ? null : before;
  return (
    <ItemDialog<SetupForm>
      title={title}
      start={before === null ? emptySetupForm : setupForm(before)}
      read={(form) => {
        const reading = readSetupForm(form, id);
        if ('missing' in reading) return reading;
        return { value: { kind: 'setup', setup: asKeptOrOther(reading.value, kept, otherId) } };
      }}
      isSaveBlocked={isUseUnknown}
      saveWords={(item) =>
        item.kind === 'setup' && item.setup.id === otherId ? 'Save as another setup' : 'Save'
      }
      fields={(form, onChange) => (
        <>
          <FailureNotice error={use.error} onAskAgain={use.reload} />
          {useWords === null ? null : (
            <Notice kind="information">
              {`${useWords}. With another tool, pack, setting or socket it is saved as another setup, and this one stays as it is.`}
            </Notice>
          )}
          <SetupFields form={form} onChange={onChange} items={items} />
        </>
      )}
      save={save}
      onClose={onClose}
    />
  );
}
