import { Button } from '../ui/Button.tsx';
import { Dialog } from '../ui/Dialog.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { useAction } from '../api-client/use-action.ts';
import { useConnection } from '../api-client/ConnectionContext.tsx';

const points = [
  'Eye and hearing protection on, for everyone near the bench.',
  'Hands and clothes clear of pinch points and of where the bar or the tool reacts.',
  'Impact-rated sockets and adapters only, without cracks.',
  'Transducer and rig rated for more than this tool can give; bolts tight.',
  'Nobody in line with the bar.',
] as const;

/** Once a session, before its first trial. Nothing here has the focus at first: a pedal pressed twice confirms nothing. */
export function SafetyDialog({
  isOpen,
  onClose,
}: {
  readonly isOpen: boolean;
  readonly onClose: () => void;
}) {
  const connection = useConnection();
  const action = useAction();
  const confirm = async (): Promise<void> => {
    if (await action.run(() => connection.request('confirmSafety', {}))) onClose();
  };
  return (
    <Dialog
      title="Before the first trial"
      role="alertdialog"
      isOpen={isOpen}
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
        {points.map((point) => (
          <li key={point}>{point}</li>
        ))}
      </ul>
      <p>
        <strong>The program cannot stop the tool.</strong> Only the trigger does. Trigger time adds to the
        operator’s vibration exposure.
      </p>
      <p className="bench-small">
        An aid, not a safety assessment: follow your local rules and the maker’s manual, and have the rig and
        the transducer checked by a competent person. Asked once a session and stored with it.
      </p>
      <FailureNotice error={action.error} />
    </Dialog>
  );
}
