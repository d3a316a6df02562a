import type { Photo } from '../../../shared-lib/catalogue/catalogue-model.ts';
import { Button } from '../../ui/Button.tsx';
import { Dialog } from '../../ui/Dialog.tsx';
import { photoName, StoredPhoto } from './PhotoPicture.tsx';

interface PhotoDialogProps {
  readonly photo: Photo;
  readonly toolName: string;
  readonly onClose: () => void;
}

export function PhotoDialog({ photo, toolName, onClose }: PhotoDialogProps) {
  return (
    <Dialog
      title={photoName(photo, toolName)}
      isOpen
      onClose={onClose}
      actions={<Button onPress={onClose}>Close</Button>}
    >
      <div className="tool-photo-large">
        <StoredPhoto photo={photo} toolName={toolName} />
      </div>
    </Dialog>
  );
}
