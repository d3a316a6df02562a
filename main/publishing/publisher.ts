import { AppError } from '../../shared-lib/app-error.ts';
import { assertNever } from '../../shared-lib/assert-never.ts';
import type {
  Job,
  PublishingOrder,
  Subject,
  SubjectDescription,
} from '../../shared-lib/publishing/publishing-model.ts';
import { publishedName } from '../../shared-lib/publishing/published-name.ts';
import type { RequestHandlers } from '../services.ts';
import type { ShareTools } from '../share-tools.ts';
import { ownBench } from '../storage/bench-repository.ts';
import { errnoOf } from '../storage/storage-errors.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import type { JobOutcome, JobTools } from '../work/jobs.ts';
import { type RunningWork, startWork } from '../work/start-work.ts';
import type { WorkName } from '../work/works.ts';
import type { SubjectReader } from './describe-subject.ts';
import type { PublishedFiles } from './published-files.ts';
import type { PublishedGatherer } from './gather-published.ts';

const MOST_AT_ONCE = 20;

export interface Publisher {
  /**
   * Begins to make a file; how far it is stands in the job.
   *
   * Errors: those of `describe`; AppError 'subject-not-found' where there is nothing to make it of; 'invalid-state' where
   * twenty are being made or wait.
   */
  start(order: PublishingOrder): Promise<{ jobId: string }>;
}

interface Parts {
  readonly files: PublishedFiles;
  readonly subjects: SubjectReader;
  readonly gatherPublished: PublishedGatherer;
  readonly getReport: RequestHandlers['getReport'];
}

/** What the work comes to: it writes exactly `path`, a file or a folder, or fails. */
interface Making {
  readonly subject: Subject;
  readonly described: SubjectDescription;
  readonly path: string;
}

/** Makes files for others in threads of their own, one after another, and leaves nothing behind of what failed. */
export function createPublisher(tools: ShareTools, parts: Parts): Publisher {
  const { platform, database, databasePath, jobs, emit } = tools;
  const { files, subjects, gatherPublished, getReport } = parts;

  const bench = () => retryWhenLocked(() => ownBench(database));

  const work = async (order: PublishingOrder, making: Making, job: JobTools): Promise<void> => {
    const { described, path, subject } = making;
    const { trialIds } = described;
    const told = (fraction: number, sentence: string): void => {
      job.progress(fraction, sentence);
    };
    switch (order.makes) {
      case 'package': {
        const { withPhotos, licence } = order;
        const published = await gatherPublished(subject);
        const input = {
          databasePath,
          targetFile: path,
          madeAt: platform.clock.now().toISOString(),
          softwareVersion: platform.softwareVersion,
          bench: await bench(),
          subject: described.title,
          trialIds: subject.kind === 'everything' ? [] : [...new Set([...trialIds, ...published.trialIds])],
          toolIds: published.toolIds,
          calibrationIds: subject.kind === 'calibration' ? [subject.calibrationId] : [],
          isEverything: subject.kind === 'everything',
          isSimulated: described.isSimulated,
          published: published.entries,
          withPhotos,
          licence,
          recomputeFile: platform.recomputeFile,
        };
        return through(job, startWork(platform, 'writePackage', input, told));
      }
      case 'report': {
        const { form, torqueUnit } = order;
        const report = await getReport({ subject, torqueUnit });
        return through(job, startWork(platform, 'writeReport', { report, form, targetFile: path }, told));
      }
      case 'tables': {
        const { separator, decimal } = order;
        const input = { databasePath, trialIds, targetFile: path, separator, decimal };
        return through(job, startWork(platform, 'writeTables', input, told));
      }
      case 'samples': {
        const input = { databasePath, trialIds, targetFolder: path, bench: await bench() };
        return through(job, startWork(platform, 'writeSamples', input, told));
      }
      default:
        return assertNever(order, 'An order for something that nobody makes');
    }
  };

  const perform = async (order: PublishingOrder, job: JobTools): Promise<JobOutcome> => {
    job.progress(0, 'Looking up what goes into it.');
    const refusal = cancellation(job);
    // Anew: what it was when it was asked for may have changed while others were being made.
    const described = await subjects.describe(order.subject);
    const { fileName, path } = await files.freeTarget(
      publishedName({
        title: described.title,
        holds: holdsOf(order),
        isSimulated: described.isSimulated,
        madeAt: platform.clock.now(),
        extension: extensionOf(order),
      }),
    );
    try {
      refusal.throwIfCancelled();
      await work(order, { subject: order.subject, described, path }, job);
    } catch (error) {
      const isCancelled = error instanceof AppError && error.code === 'cancelled';
      await files.sweep(path, isCancelled ? 'cancelled' : 'failed');
      throw translateWritingError(error, files.folder);
    }
    emit('publishedChanged', {});
    return { sentence: `Saved as ${fileName} in ${files.folder}.`, fileName };
  };

  return {
    async start(order) {
      const described = await subjects.describe(order.subject);
      refuseTooMany(jobs.list());
      refuseNothing(order, described);
      const { jobId } = jobs.start(`${capital(holdsOf(order))}: ${described.title}`, (job) =>
        perform(order, job),
      );
      return { jobId };
    },
  };
}

/** While main still gathers there is no thread to tell; a cancellation is kept until there is a good moment. */
function cancellation(job: JobTools): { throwIfCancelled(): void } {
  let isCancelled = false;
  job.onCancel(() => {
    isCancelled = true;
  });
  return {
    throwIfCancelled() {
      if (isCancelled) throw new AppError('cancelled', 'It was cancelled; nothing of it was kept.');
    },
  };
}

async function through<Name extends WorkName>(job: JobTools, running: RunningWork<Name>): Promise<void> {
  job.onCancel(() => {
    running.cancel();
  });
  await running.done;
}

function refuseNothing(order: PublishingOrder, described: SubjectDescription): void {
  const { title, sentence, hasReport, trialIds } = described;
  const what =
    order.makes === 'report'
      ? hasReport
        ? null
        : 'no report of it'
      : trialIds.length > 0 || (order.makes === 'package' && standsAlone(order.subject))
        ? null
        : 'no trial behind it whose data could go out';
  if (what === null) return;
  throw new AppError(
    'subject-not-found',
    `${title}: there is ${what}. ${sentence} Nothing was made. Choose something else to publish.`,
    { makes: order.makes },
  );
}

/** Beyond that nobody would see what is still to come, and the list of jobs forgets what it began. */
function refuseTooMany(jobs: readonly Job[]): void {
  const open = jobs.filter(({ state }) => state === 'waiting' || state === 'working').length;
  if (open < MOST_AT_ONCE) return;
  throw new AppError(
    'invalid-state',
    `${open} files are being made or wait for it, so this one was not begun. Nothing was changed. Wait for some of them, or cancel what is not wanted.`,
    { open },
  );
}

/** Its data are worth something without a trial: readings of a calibration; tools and run sheets. */
function standsAlone({ kind }: Subject): boolean {
  return kind === 'calibration' || kind === 'everything';
}

/** As it is called on the button, and in the name of the file. */
function holdsOf(order: PublishingOrder): string {
  switch (order.makes) {
    case 'package':
      return 'data package';
    case 'report':
      return 'report';
    case 'tables':
      return 'tables';
    case 'samples':
      return 'samples';
  }
}

function extensionOf(order: PublishingOrder): string {
  switch (order.makes) {
    case 'package':
    case 'tables':
      return 'zip';
    case 'report':
      return order.form;
    case 'samples':
      return '';
  }
}

/** What a full or broken disk means for a file that others were to get. */
function translateWritingError(error: unknown, folder: string): unknown {
  const errno = errnoOf(error);
  const isFull = errno === 'ENOSPC' || errno === 'EDQUOT';
  if (isFull || (error instanceof AppError && error.code === 'disk-full')) {
    return new AppError(
      'disk-full',
      `The disk under ${folder} is full, so the file was not made. What had been written of it was taken away again; all trials are safe. Make space, then save it again.`,
      { path: folder },
      error,
    );
  }
  if (error instanceof AppError || errno === null) return error;
  return new AppError(
    'storage-failed',
    `The file could not be written in ${folder} (${errno}). What there was of it was taken away again; all trials are safe. See to the folder and its disk, then save it again.`,
    { path: folder },
    error,
  );
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
