import { formatNumber, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import type { Job } from '../../../shared-lib/publishing/publishing-model.ts';

export function isUnderWay({ state }: Job): boolean {
  return state === 'waiting' || state === 'working';
}

/** Those that are shown: what is under way, and what came to nothing until it is put aside. */
export function shownJobs(jobs: readonly Job[], putAside: ReadonlySet<string>): Job[] {
  return jobs.filter((job) => isUnderWay(job) || (job.state === 'failed' && !putAside.has(job.jobId)));
}

export function jobSentence({ state, sentence }: Job): string {
  if (state === 'waiting') return 'Waits for what is being made before it.';
  return sentence;
}

/** What became of the newest one, for those who only hear it; empty while it is under way. */
export function outcomeSentence([newest]: readonly Job[]): string {
  if (newest === undefined || isUnderWay(newest)) return '';
  return `${newest.title}: ${newest.sentence}`;
}

/** "2.4 MB", by powers of ten as file managers do. */
export function sizeWords(bytes: number): string {
  const steps = ['B', 'kB', 'MB', 'GB', 'TB'] as const;
  let value = bytes;
  let step = 0;
  while (value >= 999.5 && step < steps.length - 1) {
    value /= 1000;
    step += 1;
  }
  const decimals = step > 0 && value < 99.95 ? 1 : 0;
  return `${formatNumber(value, decimals)}${THIN_SPACE}${steps[step] ?? ''}`;
}
