import { randomUUID } from 'node:crypto';
import { AppError } from '../../shared-lib/app-error.ts';
import type { Job } from '../../shared-lib/publishing/publishing-model.ts';
import type { Logger } from '../platform/logger.ts';
import { internalFailure } from './job-failure.ts';

/** What a job has while it works. */
export interface JobTools {
  progress(fraction: number, sentence: string): void;
  /** How it is cancelled from now on. */
  onCancel(cancel: () => void): void;
}

export interface JobOutcome {
  /** What came of it, for a person. */
  readonly sentence: string;
  readonly fileName: string | null;
}

export interface Jobs {
  /** Waits for those before it. The returned promise never rejects: what went wrong stands in the job. */
  start(
    title: string,
    perform: (tools: JobTools) => Promise<JobOutcome>,
  ): { jobId: string; ended: Promise<void> };
  /** Errors: AppError 'invalid-state' where there is no such job or it has ended. */
  cancel(jobId: string): void;
  list(): Job[];
  /** Cancels all and waits for them. */
  close(): Promise<void>;
}

/** How many of the ended ones are remembered. */
const REMEMBERED = 30;

/** Whatever takes a while, one after another, each told of as it goes on. */
export function createJobs(log: Logger, onChange: (jobs: Job[]) => void): Jobs {
  let jobs: readonly Job[] = [];
  const cancellations = new Map<string, () => void>();
  const cancelled = new Set<string>();
  let queue: Promise<void> = Promise.resolve();
  let isClosed = false;

  const change = (jobId: string, changes: Partial<Job>): void => {
    jobs = jobs.map((job) => (job.jobId === jobId ? { ...job, ...changes } : job)).slice(0, REMEMBERED);
    if (!isClosed) onChange([...jobs]);
  };

  const run = async (jobId: string, perform: (tools: JobTools) => Promise<JobOutcome>): Promise<void> => {
    if (cancelled.has(jobId)) return;
    change(jobId, { state: 'working' });
    try {
      const outcome = await perform({
        progress(fraction, sentence) {
          change(jobId, { fraction, sentence });
        },
        onCancel(cancel) {
          cancellations.set(jobId, cancel);
          if (cancelled.has(jobId)) cancel();
        },
      });
      change(jobId, { state: 'done', fraction: 1, ...outcome });
    } catch (error) {
      if (error instanceof AppError && error.code === 'cancelled') {
        change(jobId, { state: 'cancelled', sentence: error.message });
        return;
      }
      const failure = error instanceof AppError ? error : internalFailure(log, error);
      const { code, message } = failure;
      change(jobId, { state: 'failed', sentence: message, failure: { code, message } });
    } finally {
      cancellations.delete(jobId);
    }
  };

  return {
    start(title, perform) {
      const jobId = randomUUID();
      const job: Job = {
        jobId,
        title,
        state: 'waiting',
        fraction: 0,
        sentence: '',
        fileName: null,
        failure: null,
      };
      jobs = [job, ...jobs].slice(0, REMEMBERED);
      onChange([...jobs]);
      const ended = queue.then(() => run(jobId, perform));
      queue = ended;
      return { jobId, ended };
    },
    cancel(jobId) {
      const job = jobs.find((candidate) => candidate.jobId === jobId);
      if (job?.state !== 'waiting' && job?.state !== 'working') {
        throw new AppError('invalid-state', 'That is not under way any more. Nothing was changed.');
      }
      cancelled.add(jobId);
      if (job.state === 'waiting') {
        change(jobId, { state: 'cancelled', sentence: 'It was cancelled before it began.' });
      }
      cancellations.get(jobId)?.();
    },
    list: () => [...jobs],
    async close() {
      isClosed = true;
      for (const { jobId, state } of jobs) {
        if (state === 'waiting' || state === 'working') cancelled.add(jobId);
      }
      for (const cancel of cancellations.values()) cancel();
      await queue;
    },
  };
}
