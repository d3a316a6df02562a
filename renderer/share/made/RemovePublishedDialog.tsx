import type { PublishedFile } from '../../../shared-lib/publishing/publishing-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { Dialog } from '../../ui/Dialog.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { sizeWords } from './job-words.ts';

interface RemovePublishedDialogProps {
  readonly file: PublishedFile;
  /** Just before it closes. */
  readonly onRemoved: () => void;
  readonly onClose: () => void;
}

/** Asked for, since a file that was removed does not come back. */
export function RemovePublishedDialog({ file, onRemoved, onClose }: RemovePublishedDialogProps) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const { fileName, bytes, isFolder, path } = file;
  const remove = async (): Promise<void> => {
    if (!(await run(() => connection.request('removePublished', { fileName })))) return;
    onRemoved();
    onClose();
  };
  return (
    <Dialog
      title={isFolder ? 'Remove this folder?' : 'Remove this file?'}
      role="alertdialog"
      isOpen
      onClose={onClose}
      actions={
        <>
          <Button look="primary" isPending={isBusy} onPress={() => void remove()}>
            {isFolder ? 'Remove the folder and all in it' : 'Remove the file'}
          </Button>
          <Button onPress={onClose}>Keep it</Button>
        </>
      }
    >
      <p>
        <code className="share-path">{path}</code>, {sizeWords(bytes)}, is removed from the disk and cannot be
        brought back. The trials behind it stay, and it can be made again as they are then.
      </p>
      <FailureNotice error={error} />
    </Dialog>
  );
}
