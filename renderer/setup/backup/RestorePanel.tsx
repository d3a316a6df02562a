import { useRef, useState } from 'react';
import { FileTrigger } from 'react-aria-components';
import type { RestorePreview } from '../../../shared-lib/backup/backup-requests.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import type { ChosenFile } from '../../ui/chosen-file-keeper.ts';
import { DataList, DataRow } from '../../ui/DataRow.tsx';
import { formatDateTime } from '../../ui/date-time.ts';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { TextField } from '../../ui/TextField.tsx';
import type { FileChoice } from '../../ui/use-chosen-file.ts';
import { useFocusWhenGone } from '../../ui/use-focus-when-gone.ts';
import { backupFacts } from './backup-words.ts';
import { useRestorePreview } from './use-restore-preview.ts';

export interface RestorePanelProps {
  readonly choice: FileChoice;
}

/** A backup is chosen, read and shown in words before anything is changed. */
export function RestorePanel({ choice }: RestorePanelProps) {
  const { chosen, choose, hand, fraction, needFor } = choice;
  const [path, setPath] = useState('');
  const state = useRestorePreview(choice);
  const headingRef = useRef<HTMLHeadingElement>(null);
  // The button that gives a backup up goes away with it.
  const watch = useFocusWhenGone(() => headingRef.current);

  const choosePath = (): void => {
    const typed = path.trim();
    if (typed !== '') choose({ source: { from: 'path', path: typed }, name: typed });
  };

  return (
    <div {...watch}>
      <Panel
        title="Restore"
        headingRef={headingRef}
        lead="Choose a backup. All of it is read first, and you see what it would change. What is here now is kept in a backup of its own."
      >
        <ActionRow>
          <FileTrigger
            acceptedFileTypes={['.sqlite']}
            onSelect={(files) => {
              const [file] = files ?? [];
              if (file) hand(file);
            }}
          >
            <Button look="primary" isPending={choice.isHanding}>
              Choose a backup file
            </Button>
          </FileTrigger>
        </ActionRow>
        <div className="backup-path">
          <TextField
            label="Or its path on this computer"
            value={path}
            onChange={setPath}
            onEnter={choosePath}
            maxLength={1000}
          />
          <Button isDisabled={path.trim() === ''} onPress={choosePath}>
            Read it
          </Button>
        </div>
        <p role="status">
          {fraction === null ? null : `Taking the file in: ${Math.round(100 * fraction)} %.`}
          {state.stage === 'reading' ? `Reading all of ${chosen?.name ?? 'the backup'}.` : null}
        </p>
        <FailureNotice error={choice.error} />
        <FailureNotice error={state.stage === 'refused' ? state.error : null} />
        {state.stage === 'read' && chosen !== null ? (
          <Preview preview={state.preview} chosen={chosen} needFor={needFor} onGiveUp={() => choose(null)} />
        ) : null}
      </Panel>
    </div>
  );
}

interface PreviewProps {
  readonly preview: RestorePreview;
  readonly chosen: ChosenFile;
  readonly needFor: FileChoice['needFor'];
  readonly onGiveUp: () => void;
}

function Preview({ preview, chosen, needFor, onGiveUp }: PreviewProps) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const { backup, newestTrialAt, sentences, checksum } = preview;
  const restore = (): void => {
    void run(() => {
      const restored = connection.request('restoreBackup', { source: chosen.source, checksum });
      needFor(restored);
      return restored;
    });
  };
  return (
    <section className="backup-preview" aria-label={`What ${chosen.name} holds`}>
      <DataList>
        <DataRow name="Backup of">{formatDateTime(backup.madeAt)}</DataRow>
        <DataRow name="Holds">{backupFacts(backup)}</DataRow>
        <DataRow name="Newest trial in it">
          {newestTrialAt === null ? 'none' : formatDateTime(newestTrialAt)}
        </DataRow>
        <DataRow name="Checksum">
          <span className="backup-checksum">{checksum}</span>
        </DataRow>
      </DataList>
      {sentences.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      <ActionRow>
        <Button look="primary" isPending={isBusy} onPress={restore}>
          Restore this backup
        </Button>
        <Button isDisabled={isBusy} onPress={onGiveUp}>
          Leave everything as it is
        </Button>
      </ActionRow>
      <p role="status">{isBusy ? 'What is here is backed up, then the backup is put in its place.' : null}</p>
      <FailureNotice error={error} />
    </section>
  );
}
