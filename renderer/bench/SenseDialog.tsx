import { useAction } from '../api-client/use-action.ts';
import { useConnection } from '../api-client/ConnectionContext.tsx';
import { Button } from '../ui/Button.tsx';
import { Dialog } from '../ui/Dialog.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';

/** Forward is clockwise seen from behind the tool; a reaction arm reads the opposite, so it is shown once by hand. */
export function SenseDialog({ isOpen, onClose }: { readonly isOpen: boolean; readonly onClose: () => void }) {
  const connection = useConnection();
  const action = useAction();
  const watch = async (): Promise<void> => {
    if (await action.run(() => connection.request('confirmSense', {}))) onClose();
  };
  return (
    <Dialog
      title="Which way is clockwise?"
      isOpen={isOpen}
      onClose={onClose}
      actions={
        <>
          <Button look="primary" size="bench" isPending={action.isBusy} onPress={() => void watch()}>
            {action.isBusy ? 'Push clockwise now' : 'I am ready to push'}
          </Button>
          <Button size="bench" onPress={onClose}>
            Later
          </Button>
        </>
      }
    >
      <p>
        Forward is clockwise, seen from behind the tool. Some rigs read it the other way round, so show it
        once:
      </p>
      <ol className="bench-points">
        <li>Keep the tool off. Put a hand lever or a bar on the square, where the tool would sit.</li>
        <li>Press “I am ready to push”.</li>
        <li>Within 15 seconds push clockwise, firmly and slowly, and hold for a second.</li>
      </ol>
      <div role="status">
        {action.isBusy ? <strong className="bench-watching">Watching: push clockwise now.</strong> : null}
      </div>
      <FailureNotice error={action.error} />
    </Dialog>
  );
}
