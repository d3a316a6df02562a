import { useState } from 'react';
import { useAction } from '../api-client/use-action.ts';
import { Button } from '../ui/Button.tsx';
import { ChoiceField } from '../ui/ChoiceField.tsx';
import { Dialog } from '../ui/Dialog.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { TextField } from '../ui/TextField.tsx';

const OWN_WORDS = 'own';
const LEAST_LENGTH = 3;

export interface ReasonDialogProps {
  readonly title: string;
  readonly lead: string;
  readonly usualReasons: readonly string[];
  /** What becomes of a reason in own words. */
  readonly ownWordsHelp?: string;
  /** What the button says will happen. */
  readonly actionLabel: string;
  readonly onDecide: (reason: string) => Promise<unknown>;
  readonly onClose: () => void;
}

/** Asks why, with the usual reasons at hand. Mount it when it is wanted; its answers do not outlive it. */
export function ReasonDialog({
  title,
  lead,
  usualReasons,
  ownWordsHelp = 'At least three characters. It is stored and published with the count of voided trials.',
  actionLabel,
  onDecide,
  onClose,
}: ReasonDialogProps) {
  const [chosen, setChosen] = useState<string | null>(null);
  const [ownWords, setOwnWords] = useState('');
  const action = useAction();
  const reason = chosen === OWN_WORDS ? ownWords.trim() : (chosen ?? '');
  const isReady = reason.length >= LEAST_LENGTH;
  const decide = async (): Promise<void> => {
    if (!isReady || action.isBusy) return;
    if (await action.run(() => onDecide(reason))) onClose();
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
            isDisabled={!isReady}
            isPending={action.isBusy}
            onPress={() => void decide()}
          >
            {actionLabel}
          </Button>
          <Button onPress={onClose}>Leave it as it is</Button>
        </>
      }
    >
      <p>{lead}</p>
      <ChoiceField
        label="Reason"
        layout="list"
        choices={[
          ...usualReasons.map((usual) => ({ key: usual, label: usual })),
          { key: OWN_WORDS, label: 'In own words' },
        ]}
        selected={chosen}
        onSelect={setChosen}
      />
      {chosen === OWN_WORDS ? (
        <TextField
          label="What happened"
          value={ownWords}
          onChange={setOwnWords}
          onEnter={() => void decide()}
          maxLength={500}
          autoFocus
          help={ownWordsHelp}
        />
      ) : null}
      <FailureNotice error={action.error} />
    </Dialog>
  );
}
