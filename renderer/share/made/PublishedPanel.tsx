import { useEffect, useRef, useState } from 'react';
import type { PublishedFile } from '../../../shared-lib/publishing/publishing-model.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { CopyOutcomeLine } from '../../logbook/copying/CopyOutcomeLine.tsx';
import { useCopy } from '../../logbook/copying/use-copy.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { PublishedRow } from './PublishedRow.tsx';
import { RemovePublishedDialog } from './RemovePublishedDialog.tsx';

/** Of the panel, for a link to it on a long page. */
export const MADE_FILES = 'made-files';

/** What was made, with the folder in which it lies. */
export function PublishedPanel() {
  const { result, error, reload } = useRequest('listPublished', {}, 'publishedChanged');
  const copier = useCopy();
  const [toRemove, setToRemove] = useState<PublishedFile | null>(null);
  const headingRef = useRef<HTMLHeadingElement>(null);
  const removedName = useRef<string | null>(null);
  useEffect(() => {
    const isListed = result?.files.some(({ fileName }) => fileName === removedName.current) ?? true;
    if (removedName.current === null || isListed || toRemove !== null) return;
    removedName.current = null;
    // The button that the dialog gives the focus back to has gone with its row.
    if (document.activeElement === document.body) headingRef.current?.focus();
  }, [result, toRemove]);
  return (
    <div id={MADE_FILES}>
      <Panel
        title="Made files"
        headingRef={headingRef}
        lead={
          result === null ? undefined : (
            <>
              They lie in <code className="share-path">{result.folder}</code>
            </>
          )
        }
        actions={
          result === null ? null : (
            <>
              <CopyOutcomeLine outcome={copier.outcome} />
              <Button onPress={() => void copier.copyText('the path of the folder', result.folder)}>
                Copy the path of the folder
              </Button>
            </>
          )
        }
      >
        <FailureNotice error={error} />
        {error === null ? null : (
          <div>
            <Button onPress={reload}>Look again</Button>
          </div>
        )}
        {result === null ? null : result.files.length === 0 ? (
          <p>
            Nothing was made yet. Reports, data packages and tables will stand here with their size and date.
          </p>
        ) : (
          <div className="figure-table-frame">
            <table className="figure-table share-files" aria-label="Made files">
              <thead>
                <tr>
                  <th scope="col">File</th>
                  <th scope="col" className="figure-table-number">
                    Size
                  </th>
                  <th scope="col">Made</th>
                  <th scope="col">
                    <span className="visually-hidden">What can be done with it</span>
                  </th>
                </tr>
              </thead>
              <tbody>
                {result.files.map((file) => (
                  <PublishedRow
                    key={file.fileName}
                    file={file}
                    onCopyPath={() => void copier.copyText(`the path of ${file.fileName}`, file.path)}
                    onRemove={() => {
                      removedName.current = null;
                      setToRemove(file);
                    }}
                  />
                ))}
              </tbody>
            </table>
          </div>
        )}
        {toRemove === null ? null : (
          <RemovePublishedDialog
            file={toRemove}
            onRemoved={() => {
              removedName.current = toRemove.fileName;
            }}
            onClose={() => setToRemove(null)}
          />
        )}
      </Panel>
    </div>
  );
}
