import { useState } from 'react';
import type { Backup } from '../../../shared-lib/backup/backup-requests.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { JobList } from '../../share/made/JobList.tsx';
import { Button } from '../../ui/Button.tsx';
import { formatDateTime } from '../../ui/date-time.ts';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { backupFacts } from './backup-words.ts';

export interface BackupListProps {
  readonly onRestore: (backup: Backup) => void;
}

/** The backups of this data folder, newest first. */
export function BackupList({ onRestore }: BackupListProps) {
  const connection = useConnection();
  const { result, error } = useRequest('listBackups', {}, 'backupsChanged');
  const making = useAction();
  return (
    <Panel
      title="Backups here"
      lead={result === null ? undefined : `In ${result.folder}. Each is one SQLite file.`}
    >
      <ActionRow>
        <Button
          isPending={making.isBusy}
          onPress={() => void making.run(() => connection.request('makeBackup', {}))}
        >
          Back up now
        </Button>
      </ActionRow>
      <JobList />
      <FailureNotice error={making.error ?? error} />
      {result?.problem == null ? null : <Notice kind="caution">{result.problem}</Notice>}
      {result === null ? null : result.backups.length === 0 ? (
        <p>There is none yet. The first comes by itself on the first day with the program open, or now.</p>
      ) : (
        <ul className="backup-list">
          {result.backups.map((backup) => (
            <BackupRow key={backup.fileName} backup={backup} onRestore={() => onRestore(backup)} />
          ))}
        </ul>
      )}
    </Panel>
  );
}

function BackupRow({ backup, onRestore }: { readonly backup: Backup; readonly onRestore: () => void }) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const [sentence, setSentence] = useState<string | null>(null);
  const time = formatDateTime(backup.madeAt);
  const verify = (): void => {
    setSentence(null);
    void run(async () => {
      const { sentence: said } = await connection.request('verifyBackup', { fileName: backup.fileName });
      setSentence(said);
    });
  };
  return (
    <li className="backup-row">
      <div className="backup-row-words">
        <strong>{time}</strong>
        <span>{backupFacts(backup)}</span>
        <span role="status">{isBusy ? 'Reading all of it.' : sentence}</span>
        <FailureNotice error={error} />
      </div>
      <Button isPending={isBusy} onPress={verify}>
        Verify<span className="visually-hidden"> the backup of {time}</span>
      </Button>
      <Button onPress={onRestore}>
        Look at it to restore<span className="visually-hidden"> the backup of {time}</span>
      </Button>
    </li>
  );
}
