import type { Backup } from '../../shared-lib/backup/backup-requests.ts';
import type { Work } from '../work/work-tools.ts';

export interface BackupWork {
  readonly databasePath: string;
  readonly targetFile: string;
  readonly madeAt: string;
  readonly why: Backup['why'];
  readonly benchName: string;
}

/** Copies the database while it is written to, and verifies the copy. */
export const writeBackup: Work<BackupWork, Backup> = () => {
  throw new Error('Not built yet');
};
