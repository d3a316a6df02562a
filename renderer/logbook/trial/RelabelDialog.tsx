import { useState } from 'react';
import type { TrialSummary } from '../../../shared-lib/trial/trial-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { Button } from '../../ui/Button.tsx';
import { Dialog } from '../../ui/Dialog.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { SelectField } from '../../ui/SelectField.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { NO_SETUP, readRelabelForm, type RelabelForm, setupOptions } from './relabel-form.ts';

interface RelabelDialogProps {
  readonly summary: TrialSummary;
  readonly onClose: () => void;
}

/** Names a trial's tool and setup anew. Mount it when it is wanted; what was typed does not outlive it. */
export function RelabelDialog({ summary, onClose }: RelabelDialogProps) {
  const connection = useConnection();
  const action = useAction();
  const items = useRequest('listBenchItems', {});
  const [form, setForm] = useState<RelabelForm>({
    setupKey: summary.setup?.setupId ?? NO_SETUP,
    toolName: summary.step.toolName,
    reason: '',
  });
  const options = items.result === null ? [] : setupOptions(items.result, summary.setup);
  // Before the list is there, the setup of the trial would read as none.
  const reading =
    items.result === null
      ? { missing: 'The list of setups is still on its way.' }
      : readRelabelForm(form, options);
  const chosen = options.find(({ key }) => key === form.setupKey);
  const isNamedBySetup = chosen !== undefined && chosen.toolName !== null;

  const store = async (): Promise<void> => {
    if ('missing' in reading || action.isBusy) return;
    const isStored = await action.run(() =>
      connection.request('relabelTrial', { trialId: summary.id, ...reading }),
    );
    if (isStored) onClose();
  };

  return (
    <Dialog
      title="Put the tool or setup right"
      isOpen
      onClose={onClose}
      actions={
        <>
          <Button
            look="primary"
            isDisabled={'missing' in reading}
            isPending={action.isBusy}
            onPress={() => void store()}
          >
            Name it so from now on
          </Button>
          <Button onPress={onClose}>Leave it as it is</Button>
        </>
      }
    >
      <p>
        Curve and figures stay what they are; only what they are of is put right. What it was called before
        stays in the trail, with your reason.
      </p>
      <SelectField
        label="Setup"
        options={[
          { key: NO_SETUP, label: 'No setup, only the name of the tool' },
          ...options.map(({ key, label }) => ({ key, label })),
        ]}
        selected={chosen?.key ?? NO_SETUP}
        onSelect={(setupKey) => setForm({ ...form, setupKey })}
      />
      <FailureNotice error={items.error} />
      {isNamedBySetup ? null : (
        <TextField
          label="Tool"
          value={form.toolName}
          onChange={(toolName) => setForm({ ...form, toolName })}
          maxLength={80}
          isRequired
        />
      )}
      <TextField
        label="Why it is put right"
        value={form.reason}
        onChange={(reason) => setForm({ ...form, reason })}
        onEnter={() => void store()}
        maxLength={500}
        placeholder="such as: packs were mixed up"
        help="At least three characters."
        isRequired
      />
      <FailureNotice error={action.error} />
    </Dialog>
  );
}
