import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Job } from '../../shared-lib/publishing/publishing-model.ts';
import { importPackage, type PackageImport } from '../../main/package/import-package.ts';
import type { WorkThread } from '../../main/platform/platform.ts';
import type { WorkRequest } from '../../main/work/work-protocol.ts';
import { makeDataFolder, startRealServices, type RunningServices } from '../helpers/running-services.ts';
import { toolsOfHost } from '../helpers/tools-of-host.ts';
import { type PackageBench, quietTools } from './package-support/package-bench.ts';
import { smallBench, smallTrial } from './package-support/package-parts.ts';
import { openPublishedBench } from './publishing-support/published-bench.ts';

/** As a window asks for it: through the requests, with the real threads, beside a live amplifier. */
let folder: ReturnType<typeof makeDataFolder>;
let services: RunningServices;
let maker: PackageBench;
let file: string;

beforeEach(async () => {
  folder = makeDataFolder();
  maker = await smallBench();
  file = await maker.write('small.zip');
  services = await startRealServices(folder.path);
}, 60_000);
afterEach(async () => {
  await services.close();
  maker.remove();
  folder.remove();
});

async function ended(jobId: string): Promise<Job> {
  const isOver = ({ state }: Job): boolean => state !== 'waiting' && state !== 'working';
  await services.until('the end of the job', () =>
    services.seen('jobsChanged').some(({ jobs }) => jobs.some((job) => job.jobId === jobId && isOver(job))),
  );
  const { jobs } = await services.handlers.listJobs({});
  const job = jobs.find((candidate) => candidate.jobId === jobId);
  if (job === undefined) throw new Error('The job is not remembered');
  return job;
}

const fromPath = (path: string) => ({ from: 'path', path }) as const;

describe('a package over the requests', () => {
  it('is looked at, taken in beside a live amplifier, and listed', async () => {
    const { handlers } = services;
    await handlers.nameBench({ name: 'Bench B' });
    await handlers.connectSimulatedBench({});
    await services.until('a bench without obstacles', ({ obstacles }) => obstacles.length === 0);
    const { fingerprint, trials } = await handlers.previewPackage({ source: fromPath(file) });
    expect(trials).toEqual({ newCount: 2, knownCount: 0 });
    const { jobId } = await handlers.importPackage({ source: fromPath(file), fingerprint });
    // While it is taken in nothing begins at the bench.
    await services.until('the import at work', () =>
      services
        .seen('jobsChanged')
        .some(({ jobs }) => jobs.some((job) => job.jobId === jobId && job.state === 'working')),
    );
    expect(() => handlers.armTrial({})).toThrow('until the data package is taken in');
    expect(await ended(jobId)).toMatchObject({ state: 'done', sentence: '2 trials taken in.' });

    const { imports } = await handlers.listImports({});
    expect(imports).toMatchObject([
      { fileName: 'small.zip', benchName: 'Bench A', trialCount: 2, fingerprint },
    ]);
    const { benches } = await handlers.listBenches({});
    expect(benches.map(({ name, isOwn, trialCount }) => [name, isOwn, trialCount])).toEqual([
      ['Bench B', true, 0],
      ['Bench A', false, 2],
    ]);
    const record = await handlers.getTrial({ trialId: smallTrial });
    expect(record.summary.benchName).toBe('Bench A');
    // What it is read by stands with it, though its transducer will never hang here.
    const { transducer, calibrationId } = record.conditions;
    const listed = await handlers.listCalibrations({ transducerId: transducer.id });
    expect(listed.calibrations.map(({ id }) => id)).toContain(calibrationId);
    expect((await handlers.getCalibrationInUse({})).transducer.id).not.toBe(transducer.id);
    const { transducers } = await handlers.listTransducers({});
    expect(transducers.map(({ id }) => id)).not.toContain('transducer-demo');
    await expect(
      Promise.resolve().then(() => handlers.activateTransducer({ transducerId: 'transducer-demo' })),
    ).rejects.toThrow('hangs on another bench');
    expect(services.seen('catalogueChanged').length).toBeGreaterThan(0);
    expect(services.seen('trialsChanged').length).toBeGreaterThan(0);

    await handlers.armTrial({});
    await handlers.stopTrial({});
    expect(
      existsSync(join(folder.path, 'incoming')) ? readdirSync(join(folder.path, 'incoming')) : [],
    ).toEqual([]);
  });

  it('is refused while a trial is under way, and says what is wrong with it by its answer', async () => {
    const { handlers } = services;
    await expect(
      handlers.previewPackage({ source: fromPath(join(maker.folder, 'proofarm.db')) }),
    ).rejects.toMatchObject({ code: 'package-invalid' });
    expect((await handlers.listJobs({})).jobs.map(({ state }) => state)).toEqual(['done']);
    await handlers.connectSimulatedBench({});
    await services.until('a bench without obstacles', ({ obstacles }) => obstacles.length === 0);
    await handlers.armTrial({});
    const asked = { source: fromPath(file), fingerprint: 'f'.repeat(64) };
    await expect(Promise.resolve().then(() => handlers.importPackage(asked))).rejects.toMatchObject({
      code: 'invalid-state',
    });
    await handlers.stopTrial({});
    expect((await handlers.listImports({})).imports).toEqual([]);
  });
});

/** A thread that does not hear of its cancellation: it is ended in the middle, with the package stored or before. */
function deafThread(request: WorkRequest, whenStored: Promise<void>): WorkThread {
  if (request.name !== 'importPackage') return toolsOfHost.startWorkThread(request);
  let exit: (cause: unknown) => void = () => undefined;
  return {
    cancel: () => undefined,
    onReport: () => undefined,
    onExit(listener) {
      exit = listener;
    },
    async kill() {
      await whenStored;
      exit(null);
    },
  };
}

describe('a package whose taking in is cancelled in the last moment', () => {
  const takeInAndCancel = async (isStored: boolean) => {
    const bench = await openPublishedBench({
      host: {
        startWorkThread(request) {
          const stores = isStored && request.name === 'importPackage';
          const stored = stores
            ? importPackage(request.input as PackageImport, quietTools)
            : Promise.resolve();
          return deafThread(
            request,
            stored.then(() => undefined),
          );
        },
      },
    });
    const { handlers } = bench;
    const { fingerprint } = await handlers.previewPackage({ source: fromPath(file) });
    const { jobId } = await handlers.importPackage({ source: fromPath(file), fingerprint });
    await handlers.cancelJob({ jobId });
    const job = await bench.ended(jobId);
    return { ...bench, job };
  };

  it('is told as taken in where it was stored already, and every page hears of it', async () => {
    const { handlers, events, job } = await takeInAndCancel(true);
    expect(job).toMatchObject({
      state: 'done',
      sentence: 'It was in before it could be cancelled: 2 trials taken in.',
    });
    expect((await handlers.listImports({})).imports).toMatchObject([{ trialCount: 2 }]);
    expect(events).toEqual(expect.arrayContaining(['trialsChanged', 'catalogueChanged', 'standingsChanged']));
  });

  it('is told as cancelled where nothing of it was stored', async () => {
    const { handlers, events, job } = await takeInAndCancel(false);
    expect(job).toMatchObject({ state: 'cancelled' });
    expect((await handlers.listImports({})).imports).toEqual([]);
    expect(events).not.toContain('trialsChanged');
  });
});
