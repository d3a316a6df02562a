import { useState } from 'react';
import type { CatalogueTool } from '../../../shared-lib/catalogue/catalogue-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { Dialog } from '../../ui/Dialog.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { entryWords, mergeConsequences, stayingId } from './merge-sentences.ts';

const LEAST_REASON = 3;

interface MergeDialogProps {
  readonly pair: readonly [CatalogueTool, CatalogueTool];
  readonly onClose: () => void;
  readonly onMerged?: (intoToolId: string) => void;
}

/** Two entries become one tool. Mount it when it is wanted; what was typed does not outlive it. */
export function MergeDialog({ pair, onClose, onMerged }: MergeDialogProps) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const [intoToolId, setIntoToolId] = useState(() => stayingId(pair));
  const [reason, setReason] = useState('');
  const [first, second] = pair;
  const [into, from] = first.tool.id === intoToolId ? [first, second] : [second, first];
  const isReady = reason.trim().length >= LEAST_REASON;
  const merge = async () => {
    if (!isReady || isBusy) return;
    const isDone = await run(() =>
      connection.request('mergeTools', { fromToolId: from.tool.id, intoToolId, reason: reason.trim() }),
    );
    if (!isDone) return;
    onClose();
    onMerged?.(intoToolId);
  };
  return (
    <Dialog
      title="Merge two entries"
      isOpen
      onClose={onClose}
      actions={
        <>
          <Button look="primary" isDisabled={!isReady} isPending={isBusy} onPress={() => void merge()}>
            Merge {from.tool.name} into {into.tool.name}
          </Button>
          <Button onPress={onClose}>Leave them as they are</Button>
        </>
      }
    >
      <ChoiceField
        label="Which one stays"
        layout="list"
        choices={pair.map((entry, index) => ({
          key: entry.tool.id,
          label: isNamedAlike(pair) ? `${entry.tool.name}, entry ${index + 1}` : entry.tool.name,
          note: entryWords(entry),
        }))}
        selected={intoToolId}
        onSelect={setIntoToolId}
      />
      <ul className="tool-consequences" aria-label="What happens">
        {mergeConsequences(from, into).map((sentence) => (
          <li key={sentence}>{sentence}</li>
        ))}
      </ul>
      <TextField
        label="Why they are one tool"
        value={reason}
        onChange={setReason}
        onEnter={() => void merge()}
        placeholder="such as: entered twice"
        help="At least three characters. It is stored with the merge."
        maxLength={500}
        isRequired
      />
      <FailureNotice error={error} />
    </Dialog>
  );
}

function isNamedAlike([first, second]: MergeDialogProps['pair']): boolean {
  return first.tool.name === second.tool.name;
}
