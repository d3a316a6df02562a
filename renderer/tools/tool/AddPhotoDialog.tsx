import { useState } from 'react';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { Dialog } from '../../ui/Dialog.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { PhotoPicture } from './PhotoPicture.tsx';

interface AddPhotoDialogProps {
  readonly toolId: string;
  /** A JPEG of a size that can be stored. */
  readonly picture: Blob;
  readonly onClose: () => void;
}

/** The chosen picture with its caption, which is also what is read out where it is not seen. */
export function AddPhotoDialog({ toolId, picture, onClose }: AddPhotoDialogProps) {
  const connection = useConnection();
  const [caption, setCaption] = useState('');
  const { run, isBusy, error } = useAction();
  const add = async () => {
    if (isBusy) return;
    const isAdded = await run(async () =>
      connection.request('addToolPhoto', {
        toolId,
        caption: caption.trim(),
        mediaType: 'image/jpeg',
        bytes: new Uint8Array(await picture.arrayBuffer()),
      }),
    );
    if (isAdded) onClose();
  };
  return (
    <Dialog
      title="Add a photo"
      isOpen
      onClose={onClose}
      actions={
        <>
          <Button look="primary" isPending={isBusy} onPress={() => void add()}>
            Add this photo
          </Button>
          <Button onPress={onClose}>Leave it out</Button>
        </>
      }
    >
      <div className="tool-photo-large">
        <PhotoPicture picture={picture} alt="The chosen picture" />
      </div>
      <TextField
        label="Caption"
        value={caption}
        onChange={setCaption}
        onEnter={() => void add()}
        placeholder="such as: rating plate"
        help="Says what it shows, also to those who do not see it."
        maxLength={200}
        autoFocus
      />
      <FailureNotice error={error} />
    </Dialog>
  );
}
