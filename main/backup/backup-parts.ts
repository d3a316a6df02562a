import type { backupRequests } from '../../shared-lib/backup/backup-requests.ts';
import type { Uploads } from '../exchange/uploads.ts';
import type { RequestHandlers } from '../services.ts';
import type { ShareTools } from '../share-tools.ts';

/** Copies of the data, and the way back. */
export function createBackupParts(
  _tools: ShareTools,
  _uploads: Uploads,
): {
  readonly handlers: Pick<RequestHandlers, keyof typeof backupRequests>;
  close(): void;
} {
  const notBuilt = (): never => {
    throw new Error('Not built yet');
  };
  return {
    handlers: {
      listBackups: notBuilt,
      makeBackup: notBuilt,
      verifyBackup: notBuilt,
      previewRestore: notBuilt,
      restoreBackup: notBuilt,
    },
    close: () => undefined,
  };
}
