import {
  NO_SAFETY_ASSESSMENT,
  PROGRAM_CANNOT_STOP,
  safetyPoints,
} from '../../shared-lib/trial/words/safety-words.ts';
import { Button } from '../ui/Button.tsx';
import { Dialog } from '../ui/Dialog.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { useAction } from '../api-client/use-action.ts';
import { useConnection } from '../api-client/ConnectionContext.tsx';

/** Once a session, before its first trial. Nothing here has the focus at first: a pedal pressed twice confirms nothing. */
export function SafetyDialog({ onClose }: { readonly onClose: () => void }) {
  const connection = useConnection();
  const action = useAction();
  const confirm = async (): Promise<void> => {
    if (await action.run(() => connection.request('confirmSafety', {}))) onClose();
  };
  return (
    <Dialog
      title="Before the first trial"
      role="alertdialog"
      isOpen
      onClose={onClose}
      actions={
        <>
          <Button look="primary" size="bench" isPending={action.isBusy} onPress={() => void confirm()}>
            All of this is so
          </Button>
          <Button size="bench" onPress={onClose}>
            Not yet
          </Button>
        </>
      }
    >
      <ul className="bench-points">
        {safetyPoints.map((point) => (
          <li key={point}>{point}</li>
        ))}
      </ul>
      <p>
        <strong>{PROGRAM_CANNOT_STOP}</strong> Only the trigger does. Trigger time adds to the operator’s
        vibration exposure.
      </p>
      <p className="bench-small">{NO_SAFETY_ASSESSMENT} Asked once a session and stored with it.</p>
      <FailureNotice error={action.error} />
    </Dialog>
  );
}
