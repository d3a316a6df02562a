import { randomUUID } from 'node:crypto';
import { AppError } from '../../shared-lib/app-error.ts';
import type { PackagePreview, Source } from '../../shared-lib/exchange/exchange-requests.ts';
import type { PackageTaken } from '../package/import-package.ts';
import type { RequestHandlers } from '../services.ts';
import type { ShareTools } from '../share-tools.ts';
import { ownBench } from '../storage/bench-repository.ts';
import { findImport, listImports, type StoredImport } from '../storage/import-repository.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import { startWork } from '../work/start-work.ts';
import type { Uploads } from './uploads.ts';

/** Data packages of other benches. */
export function createPackagesPart(
  tools: ShareTools,
  uploads: Uploads,
): {
  readonly handlers: Pick<RequestHandlers, 'previewPackage' | 'importPackage' | 'listImports'>;
} {
  const { platform, database, databasePath, jobs } = tools;

  /** In the queue like everything that takes a while, so that a window can tell how far it is, and cancel it. */
  const preview = async (source: Source): Promise<PackagePreview> => {
    const { path, fileName } = uploads.fileOf(source);
    let outcome: { readonly preview: PackagePreview } | { readonly error: unknown } | null = null;
    const { ended } = jobs.start(`Looking through ${fileName}`, async (job) => {
      const running = startWork(
        platform,
        'previewPackage',
        { databasePath, file: path },
        (fraction, sentence) => {
          job.progress(fraction, sentence);
        },
      );
      job.onCancel(() => {
        running.cancel();
      });
      try {
        const read = await running.done;
        outcome = { preview: read };
        return { sentence: 'Looked through; nothing was taken in yet.', fileName: null };
      } catch (error) {
        outcome = { error };
        // Whoever asked is told by the answer; among what is made it is no failure to be put aside.
        if (error instanceof AppError && error.code !== 'cancelled') {
          return { sentence: 'Looked through; it cannot be taken in.', fileName: null };
        }
        throw error;
      }
    });
    await ended;
    return outcomeOf(outcome);
  };

  const takeIn = (source: Source, fingerprint: string): { jobId: string } => {
    const { path, fileName } = uploads.fileOf(source);
    // Whatever hinders it is told at once, and looked at again when its turn comes.
    tools.holdBench('Taking the package in')();
    const { jobId } = jobs.start(`Taking in ${fileName}`, async (job) => {
      const letGo = tools.holdBench('Taking the package in');
      try {
        await retryWhenLocked(() => ownBench(database));
        const work = {
          databasePath,
          file: path,
          fileName,
          fingerprint,
          importId: randomUUID(),
          at: platform.clock.now().toISOString(),
          operator: tools.operator(),
        };
        const running = startWork(platform, 'importPackage', work, (fraction, sentence) => {
          job.progress(fraction, sentence);
        });
        job.onCancel(() => {
          running.cancel();
        });
        const { sentence, changedTrialIds } = await running.done.catch((error: unknown) =>
          storedAllTheSame(error, work.importId),
        );
        uploads.drop(source);
        tellOfChanges(changedTrialIds);
        return { sentence, fileName: null };
      } finally {
        letGo();
      }
    });
    return { jobId };
  };

  /** A thread that is ended because it did not hear of its cancellation may have stored the package just before. */
  const storedAllTheSame = (error: unknown, importId: string): PackageTaken => {
    const isCancelled = error instanceof AppError && error.code === 'cancelled';
    const stored = isCancelled ? findImport(database, importId) : null;
    if (stored === null) throw error;
    const { oneTrialId } = stored;
    return {
      sentence: `It was in before it could be cancelled: ${countWords(stored)} taken in.`,
      // Which others changed went with the thread; places read anew whichever trial they are told of.
      changedTrialIds: oneTrialId === null ? [] : [oneTrialId],
    };
  };

  /** Every place reads anew what it shows. */
  const tellOfChanges = (trialIds: readonly string[]): void => {
    for (const trialId of trialIds) tools.trialsChanged(trialId);
    tools.emit('catalogueChanged', {});
    tools.emit('runSheetsChanged', {});
    tools.emit('standingsChanged', {});
  };

  return {
    handlers: {
      previewPackage: ({ source }) => preview(source),
      importPackage: ({ source, fingerprint }) => takeIn(source, fingerprint),
      listImports: () => ({ imports: listImports(database) }),
    },
  };
}

function countWords({ newTrialCount }: StoredImport): string {
  if (newTrialCount === 0) return 'no new trial';
  return newTrialCount === 1 ? '1 trial' : `${newTrialCount} trials`;
}

function outcomeOf(
  outcome: { readonly preview: PackagePreview } | { readonly error: unknown } | null,
): PackagePreview {
  if (outcome === null) {
    throw new AppError('cancelled', 'It was cancelled before it began. Nothing was taken in.');
  }
  if ('error' in outcome) throw outcome.error;
  return outcome.preview;
}
