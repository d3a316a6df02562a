import { createBackupParts } from './backup/backup-parts.ts';
import { createExchangeParts } from './exchange/exchange-parts.ts';
import { createUploads } from './exchange/uploads.ts';
import { createOverlayParts } from './overlay/overlay-parts.ts';
import { createPublishingParts } from './publishing/publishing-parts.ts';
import type { RequestHandlers } from './services.ts';
import type { ShareRequestName, ShareTools } from './share-tools.ts';
import { createJobs } from './work/jobs.ts';

/** Publishing, taking in, the overlay and backups, as one part of the program. */
export function createShareParts(tools: Omit<ShareTools, 'jobs'>): {
  readonly handlers: Pick<RequestHandlers, ShareRequestName>;
  /** Cancels what is under way and waits for it. */
  close(): Promise<void>;
} {
  const jobs = createJobs(tools.platform.log, (changed) => {
    tools.emit('jobsChanged', { jobs: changed });
  });
  const withJobs: ShareTools = { ...tools, jobs };
  const uploads = createUploads(tools.platform);
  const overlay = createOverlayParts(withJobs);
  const backup = createBackupParts(withJobs, uploads);
  return {
    handlers: {
      ...createPublishingParts(withJobs).handlers,
      ...createExchangeParts(withJobs, uploads).handlers,
      ...overlay.handlers,
      ...backup.handlers,
    },
    async close() {
      backup.close();
      await overlay.close();
      await jobs.close();
      uploads.close();
    },
  };
}
