import { useState } from 'react';
import { FileTrigger } from 'react-aria-components';
import type { CatalogueTool, Photo } from '../../../shared-lib/catalogue/catalogue-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { AddPhotoDialog } from './AddPhotoDialog.tsx';
import { photoName, StoredPhoto } from './PhotoPicture.tsx';
import { PhotoDialog } from './PhotoDialog.tsx';
import { scalePhoto } from './scale-photo.ts';

interface RemovedPhoto {
  readonly photo: Photo;
  readonly bytes: Uint8Array<ArrayBuffer>;
}

export function PhotosPanel({ tool }: { readonly tool: CatalogueTool }) {
  const connection = useConnection();
  const { run, isBusy, error, clearError } = useAction();
  const [chosen, setChosen] = useState<Blob | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const [opened, setOpened] = useState<Photo | null>(null);
  const [removed, setRemoved] = useState<RemovedPhoto | null>(null);
  const { photos } = tool;
  const toolId = tool.tool.id;

  const choose = (file: File | undefined) => {
    if (file === undefined) return;
    setProblem(null);
    clearError();
    void run(async () => {
      const scaled = await scalePhoto(file);
      if ('blob' in scaled) setChosen(scaled.blob);
      else setProblem(scaled.problem);
    });
  };
  const remove = (photo: Photo) =>
    run(async () => {
      const { bytes } = await connection.request('getToolPhoto', { photoId: photo.id });
      await connection.request('removeToolPhoto', { photoId: photo.id });
      setRemoved({ photo, bytes: Uint8Array.from(bytes) });
    });
  const putBack = ({ photo: { caption, mediaType }, bytes }: RemovedPhoto) =>
    run(async () => {
      await connection.request('addToolPhoto', { toolId, caption, mediaType, bytes });
      setRemoved(null);
    });

  return (
    <Panel
      title="Photos"
      actions={
        <FileTrigger
          acceptedFileTypes={['image/jpeg', 'image/png', 'image/webp']}
          onSelect={(files) => choose(files?.[0])}
        >
          <Button isPending={isBusy}>Add a photo</Button>
        </FileTrigger>
      }
    >
      {photos.length === 0 ? (
        <p className="tool-soft">No photo yet. One helps to tell two tools of one maker apart.</p>
      ) : (
        <ul className="tool-photos" aria-label="Photos">
          {photos.map((photo) => (
            <li key={photo.id}>
              <button
                type="button"
                className="tool-photo-button"
                aria-label={`Show larger: ${photoName(photo, tool.tool.name)}`}
                onClick={() => setOpened(photo)}
              >
                <StoredPhoto photo={photo} toolName={tool.tool.name} />
              </button>
              <div className="tool-photo-line">
                <span className="tool-text">{photo.caption}</span>
                <Button
                  look="quiet"
                  aria-label={`Remove the photo: ${photoName(photo, tool.tool.name)}`}
                  onPress={() => void remove(photo)}
                >
                  Remove
                </Button>
              </div>
            </li>
          ))}
        </ul>
      )}
      {removed === null ? null : (
        <Notice
          kind="information"
          live="status"
          actions={
            <Button isPending={isBusy} onPress={() => void putBack(removed)}>
              Put it back
            </Button>
          }
        >
          The photo “{photoName(removed.photo, tool.tool.name)}” was removed.
        </Notice>
      )}
      {problem === null ? null : (
        <Notice kind="fault" live="alert">
          {problem}
        </Notice>
      )}
      <FailureNotice error={error} />
      {chosen === null ? null : (
        <AddPhotoDialog toolId={toolId} picture={chosen} onClose={() => setChosen(null)} />
      )}
      {opened === null ? null : (
        <PhotoDialog photo={opened} toolName={tool.tool.name} onClose={() => setOpened(null)} />
      )}
    </Panel>
  );
}
