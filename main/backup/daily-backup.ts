import { AppError } from '../../shared-lib/app-error.ts';
import { localDay } from '../platform/local-day.ts';
import type { ShareTools } from '../share-tools.ts';
import type { BackupFolder } from './backup-folder.ts';
import { makeBackup } from './make-backup.ts';

/** After the start the bench comes first. */
const FIRST_LOOK_MS = 3 * 60_000;
const NEXT_LOOK_MS = 3_600_000;

export interface DailyBackup {
  /** Why the newest one could not be made; null: nothing is wrong. */
  problem(): string | null;
  close(): void;
}

/** One backup a day by itself, never beside a trial. */
export function createDailyBackup(
  tools: Pick<
    ShareTools,
    'platform' | 'database' | 'databasePath' | 'settings' | 'emit' | 'jobs' | 'isBenchBusy'
  >,
  folder: BackupFolder,
): DailyBackup {
  const { platform, settings, jobs } = tools;
  let problem: string | null = null;
  let timer: NodeJS.Timeout | null = null;

  const isDue = (): boolean => {
    if (!settings.current().backup.isDaily || tools.isBenchBusy()) return false;
    const today = localDay(platform.clock.now());
    return !folder.list().backups.some(({ madeAt }) => localDay(new Date(madeAt)) === today);
  };
  const look = (): void => {
    try {
      if (isDue()) {
        jobs.start('Daily backup', async (job) => {
          try {
            const outcome = await makeBackup(tools, folder, 'daily', job);
            problem = null;
            return outcome;
          } catch (error) {
            if (error instanceof AppError && error.code !== 'cancelled') problem = error.message;
            throw error;
          }
        });
      }
    } catch (error) {
      platform.log.warn('the daily backup could not be begun', { cause: error });
    }
    timer = setTimeout(look, NEXT_LOOK_MS);
  };
  timer = setTimeout(look, FIRST_LOOK_MS);

  return {
    problem: () => problem,
    close() {
      if (timer !== null) clearTimeout(timer);
    },
  };
}
