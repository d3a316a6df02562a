import { Button } from '../ui/Button.tsx';
import { Dialog } from '../ui/Dialog.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { useGuidedPush } from './use-guided-push.ts';

/** Forward is clockwise seen from behind the tool; a reaction arm reads the opposite, so it is shown once by hand. */
export function SenseDialog({ isOpen, onClose }: { readonly isOpen: boolean; readonly onClose: () => void }) {
  const { isWatching, error, begin, giveUp } = useGuidedPush();
  const watch = async (): Promise<void> => {
    if (await begin()) onClose();
  };
  const close = (): void => {
    giveUp();
    onClose();
  };
  return (
    <Dialog
      title="Which way is clockwise?"
      isOpen={isOpen}
      onClose={close}
      actions={
        <>
          <Button look="primary" size="bench" isPending={isWatching} onPress={() => void watch()}>
            {isWatching ? 'Push clockwise now' : 'I am ready to push'}
          </Button>
          <Button size="bench" onPress={close}>
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
        <li>
          Keep the tool off. Put a hand lever or a bar on the square, where the tool would sit. Where its
          weight is read as torque, set the zero with it on, and again once it is off.
        </li>
        <li>Press “I am ready to push”.</li>
        <li>Within 15 seconds push clockwise, firmly and slowly, and hold for a second.</li>
      </ol>
      <div role="status">
        {isWatching ? <strong className="bench-watching">Watching: push clockwise now.</strong> : null}
      </div>
      <FailureNotice error={error} />
    </Dialog>
  );
}
