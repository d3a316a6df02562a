import type { RestorePreview } from '../../shared-lib/backup/backup-requests.ts';
import type { Work } from '../work/work-tools.ts';

export interface BackupChecking {
  readonly file: string;
  /** What it is held against. */
  readonly databasePath: string;
}

/** Reads all of a backup and says what it holds. */
export const checkBackup: Work<BackupChecking, RestorePreview> = () => {
  throw new Error('Not built yet');
};
