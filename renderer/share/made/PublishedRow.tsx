import { useRef, useState } from 'react';
import { formatNumber, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import type { PublishedFile } from '../../../shared-lib/publishing/publishing-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { formatDateTime } from '../../ui/date-time.ts';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { saveBlob } from '../../ui/save-file.ts';
import { sizeWords } from './job-words.ts';
import { readWholeFile } from './read-whole-file.ts';

interface PublishedRowProps {
  readonly file: PublishedFile;
  readonly onCopyPath: () => void;
  readonly onRemove: () => void;
}

/** A made file: where it lies, and what can be done with it. A folder is too many files for a window to save. */
export function PublishedRow({ file, onCopyPath, onRemove }: PublishedRowProps) {
  const { fileName, bytes, madeAt, isFolder } = file;
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const [fraction, setFraction] = useState(0);
  const isCancelled = useRef(false);
  const save = (): void => {
    isCancelled.current = false;
    setFraction(0);
    void run(async () => {
      const content = await readWholeFile(connection, fileName, {
        onProgress: setFraction,
        isCancelled: () => isCancelled.current,
      });
      saveBlob(fileName, content);
    });
  };
  const cancel = (): void => {
    isCancelled.current = true;
  };
  return (
    <tr>
      <th scope="row">
        <span className="share-file-name">{fileName}</span>
        {isFolder ? <span className="share-soft">a folder</span> : null}
        <FailureNotice error={error?.code === 'cancelled' ? null : error} />
      </th>
      <td className="figure-table-number">{sizeWords(bytes)}</td>
      <td className="share-nowrap">{formatDateTime(madeAt)}</td>
      <td>
        <div className="share-file-actions">
          {isFolder ? null : (
            <>
              {isBusy ? (
                <span className="share-nowrap" role="status">
                  {formatNumber(100 * fraction, 0)}
                  {THIN_SPACE}%
                </span>
              ) : null}
              {/* One button, so that it keeps the focus while its words change. */}
              <Button onPress={isBusy ? cancel : save}>
                {isBusy ? 'Cancel' : 'Save elsewhere'}
                <span className="visually-hidden">
                  {isBusy ? ` saving ${fileName} elsewhere` : ` ${fileName}`}
                </span>
              </Button>
            </>
          )}
          <Button onPress={onCopyPath}>
            Copy path<span className="visually-hidden"> of {fileName}</span>
          </Button>
          <Button onPress={onRemove}>
            Remove<span className="visually-hidden"> {fileName}</span>
          </Button>
        </div>
      </td>
    </tr>
  );
}
