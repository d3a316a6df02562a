import type { Connection } from '../../../shared-lib/api-contract.ts';
import { isUnderWay } from './job-words.ts';

/** Resolves when a job that has just been started is over, also after the page that started it was left. */
export function endOfJob(connection: Connection, jobId: string): Promise<void> {
  return new Promise((resolve) => {
    const stop = connection.subscribe('jobsChanged', ({ jobs }) => {
      if (jobs.some((job) => job.jobId === jobId && isUnderWay(job))) return;
      stop();
      resolve();
    });
  });
}
