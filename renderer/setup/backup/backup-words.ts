import type { Backup } from '../../../shared-lib/backup/backup-requests.ts';
import { formatDateTime } from '../../ui/date-time.ts';
import { formatBytes } from '../raw-bytes/capture-sentences.ts';

export const whyWords: Readonly<Record<Backup['why'], string>> = {
  daily: 'by itself',
  asked: 'asked for',
  beforeRestore: 'before a restore',
};

/** "Bench 1, 12 trials, 3.4 MB, by itself". */
export function backupFacts({ benchName, trialCount, bytes, why }: Backup): string {
  const trials = trialCount === 1 ? '1 trial' : `${trialCount} trials`;
  return [benchName, trials, formatBytes(bytes), whyWords[why]].join(', ');
}

export function newestSentence(backups: readonly Backup[]): string {
  const newest = backups[0];
  return newest === undefined
    ? 'There is no backup yet.'
    : `The newest is of ${formatDateTime(newest.madeAt)}: ${backupFacts(newest)}.`;
}
