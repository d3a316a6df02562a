import { existsSync, mkdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { translateFolderError } from '../../main/storage/storage-errors.ts';
import { toCarriedError } from '../../main/storage/recording-protocol.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { Platform, WorkThread } from '../../main/platform/platform.ts';
import type { WorkReport, WorkRequest } from '../../main/work/work-protocol.ts';
import type { PublishingOrder, Subject } from '../../shared-lib/publishing/publishing-model.ts';
import { forwardStep, keyOf } from './storage-support/compared-bench.ts';
import { openPublishedBench, pullThreeRounds } from './publishing-support/published-bench.ts';

const comparison: Subject = {
  kind: 'comparison',
  asked: {
    step: forwardStep,
    a: keyOf('hollin'),
    b: keyOf('tarnwick'),
    sessionIds: null,
    isForced: false,
    measure: { figure: 'sustainedTorque' },
  },
};
const packageOf = (subject: Subject): PublishingOrder => ({
  makes: 'package',
  subject,
  withPhotos: false,
  licence: null,
});
const tablesOf = (subject: Subject): PublishingOrder => ({
  makes: 'tables',
  subject,
  separator: ',',
  decimal: '.',
});

describe('a data package', () => {
  it('is made in the published folder under a name that says what it is, and another beside it where that is taken', async () => {
    const bench = await openPublishedBench({ fill: pullThreeRounds });
    const first = await bench.make(packageOf(comparison));
    expect(first).toMatchObject({ state: 'done', fraction: 1, failure: null });
    expect(first.fileName).toMatch(
      /^hollin-h5-against-tarnwick-t6-simulated-data-package-\d{4}-\d\d-\d\d-\d{4}\.zip$/,
    );
    expect(first.sentence).toContain(bench.folder);
    const before = readFileSync(join(bench.folder, first.fileName ?? ''));
    // A ZIP begins so, and holds what was shown besides the data.
    expect(before.subarray(0, 4).toString('latin1')).toBe('PK\u0003\u0004');
    expect(before.includes('published/comparison.json')).toBe(true);

    const second = await bench.make(packageOf(comparison));
    expect(second.state).toBe('done');
    expect(second.fileName).not.toBe(first.fileName);
    expect(readFileSync(join(bench.folder, first.fileName ?? ''))).toEqual(before);
    expect(bench.namesInside()).toEqual([first.fileName, second.fileName].sort());
    expect(bench.events.filter((name) => name === 'publishedChanged')).toHaveLength(2);
    expect(bench.events).toContain('jobsChanged');
  });

  it('is refused at once where there is nothing to put into it, and nothing is made', async () => {
    const bench = await openPublishedBench();
    await expect(
      (async () => bench.handlers.startPublishing({ order: tablesOf({ kind: 'everything' }) }))(),
    ).rejects.toMatchObject({ code: 'subject-not-found' });
    await expect(
      (async () =>
        bench.handlers.startPublishing({ order: packageOf({ kind: 'trial', trialId: 'nobody' }) }))(),
    ).rejects.toMatchObject({ code: 'trial-not-found' });
    expect(bench.namesInside()).toEqual([]);
    expect((await bench.handlers.listJobs({})).jobs).toEqual([]);
  });
});

describe('tables and samples', () => {
  it('are a ZIP and a folder, which can be listed, and only the ZIP be read in pieces', async () => {
    const bench = await openPublishedBench({ fill: pullThreeRounds });
    const tables = await bench.make(tablesOf(comparison));
    const samples = await bench.make({ makes: 'samples', subject: comparison });
    expect([tables.state, samples.state]).toEqual(['done', 'done']);
    const { files, folder } = await bench.handlers.listPublished({});
    expect(folder).toBe(bench.folder);
    const zip = files.find(({ fileName }) => fileName === tables.fileName);
    const parquet = files.find(({ fileName }) => fileName === samples.fileName);
    expect(zip).toMatchObject({ isFolder: false, path: join(folder, tables.fileName ?? '') });
    expect(parquet).toMatchObject({ isFolder: true });
    expect(parquet?.bytes).toBeGreaterThan(100);

    const fileName = tables.fileName ?? '';
    const whole = readFileSync(join(folder, fileName));
    expect(zip?.bytes).toBe(whole.length);
    const pieces: Uint8Array[] = [];
    for (let offset = 0; offset < whole.length; offset += 1000) {
      const { bytes, totalBytes } = await bench.handlers.readPublished({ fileName, offset, length: 1000 });
      expect(totalBytes).toBe(whole.length);
      pieces.push(bytes);
    }
    expect(Buffer.concat(pieces)).toEqual(whole);
    expect(
      (await bench.handlers.readPublished({ fileName, offset: whole.length + 5, length: 10 })).bytes,
    ).toHaveLength(0);
    await expect(
      (async () =>
        bench.handlers.readPublished({ fileName: samples.fileName ?? '', offset: 0, length: 1 }))(),
    ).rejects.toMatchObject({ code: 'invalid-state' });

    await bench.handlers.removePublished({ fileName });
    await bench.handlers.removePublished({ fileName: samples.fileName ?? '' });
    expect(bench.namesInside()).toEqual([]);
  });
});

describe('the published folder', () => {
  it('is left by no name, of whatever system its separators are', async () => {
    const bench = await openPublishedBench();
    mkdirSync(bench.folder);
    writeFileSync(join(bench.folder, 'mine.zip'), 'mine');
    writeFileSync(join(bench.dataFolder, 'outside.txt'), 'stays');
    symlinkSync(join(bench.dataFolder, 'outside.txt'), join(bench.folder, 'link.zip'));
    symlinkSync(bench.dataFolder, join(bench.folder, 'folder-link'));
    const wrong = [
      '../outside.txt',
      '..\\outside.txt',
      '..',
      '.',
      '/etc/hostname',
      'C:\\outside.txt',
      'a/../../outside.txt',
      'mine.zip/../../outside.txt',
      'mine.zip\0.txt',
      'link.zip',
      'folder-link',
      'folder-link/outside.txt',
      'nothing.zip',
    ];
    for (const fileName of wrong) {
      await expect(
        (async () => bench.handlers.removePublished({ fileName }))(),
        fileName,
      ).rejects.toMatchObject({ code: 'published-not-found' });
      await expect(
        (async () => bench.handlers.readPublished({ fileName, offset: 0, length: 10 }))(),
        fileName,
      ).rejects.toMatchObject({ code: 'published-not-found' });
    }
    expect(readFileSync(join(bench.dataFolder, 'outside.txt'), 'utf8')).toBe('stays');
    const { files } = await bench.handlers.listPublished({});
    expect(files.map(({ fileName }) => fileName)).toEqual(['mine.zip']);
    expect(existsSync(join(bench.dataFolder, 'proofarm.db'))).toBe(true);
  });

  it('is empty, and no fault, before anything was made', async () => {
    const bench = await openPublishedBench();
    expect(await bench.handlers.listPublished({})).toEqual({ folder: bench.folder, files: [] });
  });

  it('says so where it cannot be made, and nothing else is harmed', async () => {
    const bench = await openPublishedBench({ fill: pullThreeRounds });
    writeFileSync(bench.folder, 'in the way');
    expect(await bench.make(packageOf(comparison))).toMatchObject({
      state: 'failed',
      failure: { code: 'data-folder-unusable' },
    });
    expect(readFileSync(bench.folder, 'utf8')).toBe('in the way');
  });
});

/** A thread of the test's own in the place of a work: it leaves half a file, then does as it is told. */
function scriptedThread(then: (report: (message: WorkReport) => void, exit: () => void) => void): {
  readonly start: Platform['startWorkThread'];
  readonly requests: WorkRequest[];
  readonly cancelled: WorkRequest[];
} {
  const requests: WorkRequest[] = [];
  const cancelled: WorkRequest[] = [];
  return {
    requests,
    cancelled,
    start(request): WorkThread {
      requests.push(request);
      let report: (message: WorkReport) => void = () => undefined;
      let exit: (cause: unknown) => void = () => undefined;
      const target = 'targetFile' in request.input ? request.input.targetFile : '';
      writeFileSync(`${target}.part`, 'half of it');
      setTimeout(() => {
        report({ kind: 'progress', fraction: 0.5, sentence: 'Half of it is written.' });
        then(report, () => exit(null));
      }, 20);
      return {
        cancel() {
          cancelled.push(request);
          report({
            kind: 'failed',
            error: toCarriedError(new AppError('cancelled', 'It was cancelled; nothing of it was kept.')),
          });
          exit(null);
        },
        onReport(listener) {
          report = listener;
        },
        onExit(listener) {
          exit = listener;
        },
        kill: () => Promise.resolve(),
      };
    },
  };
}

describe('a file that is not finished', () => {
  it('leaves nothing behind when the thread dies, and the program goes on', async () => {
    const thread = scriptedThread((_report, exit) => {
      exit();
    });
    const bench = await openPublishedBench({
      fill: pullThreeRounds,
      host: { startWorkThread: thread.start },
    });
    const job = await bench.make(packageOf(comparison));
    expect(job).toMatchObject({ state: 'failed', failure: { code: 'internal' }, fileName: null });
    expect(bench.namesInside()).toEqual([]);
    expect(bench.logLines.join('\n')).toContain('The thread ended before its work was done');
    expect((await bench.make(tablesOf(comparison))).state).toBe('failed');
  });

  it('leaves nothing behind when it is cancelled midway', async () => {
    const thread = scriptedThread(() => undefined);
    const bench = await openPublishedBench({
      fill: pullThreeRounds,
      host: { startWorkThread: thread.start },
    });
    const { jobId } = await bench.handlers.startPublishing({ order: packageOf(comparison) });
    for (;;) {
      const { jobs } = await bench.handlers.listJobs({});
      if (jobs[0]?.fraction === 0.5) break;
      await new Promise((resolve) => setTimeout(resolve, 5));
    }
    expect(bench.namesInside()).toHaveLength(1);
    await bench.handlers.cancelJob({ jobId });
    expect(await bench.ended(jobId)).toMatchObject({ state: 'cancelled', fileName: null });
    expect(thread.cancelled).toHaveLength(1);
    expect(bench.namesInside()).toEqual([]);
    expect(() => bench.handlers.cancelJob({ jobId })).toThrow(
      expect.objectContaining({ code: 'invalid-state' }),
    );
  });

  it('is never begun where it is cancelled while it waits', async () => {
    const thread = scriptedThread(() => undefined);
    const bench = await openPublishedBench({
      fill: pullThreeRounds,
      host: { startWorkThread: thread.start },
    });
    const first = await bench.handlers.startPublishing({ order: packageOf(comparison) });
    const second = await bench.handlers.startPublishing({ order: packageOf(comparison) });
    await bench.handlers.cancelJob(second);
    await bench.handlers.cancelJob(first);
    expect((await bench.ended(first.jobId)).state).toBe('cancelled');
    expect((await bench.ended(second.jobId)).state).toBe('cancelled');
    expect(thread.requests.length).toBeLessThanOrEqual(1);
    expect(bench.namesInside()).toEqual([]);
  });

  it('waits with nineteen others at most', async () => {
    const thread = scriptedThread(() => undefined);
    const bench = await openPublishedBench({
      fill: pullThreeRounds,
      host: { startWorkThread: thread.start },
    });
    const start = async () => bench.handlers.startPublishing({ order: tablesOf({ kind: 'everything' }) });
    const started: string[] = [];
    for (let count = 0; count < 20; count += 1) started.push((await start()).jobId);
    await expect(start()).rejects.toMatchObject({ code: 'invalid-state' });
    await bench.handlers.cancelJob({ jobId: started.at(-1) ?? '' });
    started.push((await start()).jobId);
    expect((await bench.handlers.listJobs({})).jobs.map(({ jobId }) => jobId)).toEqual(started.toReversed());
  });

  it('leaves nothing behind when the disk is full, and says what to do', async () => {
    const thread = scriptedThread((report) => {
      const error = Object.assign(new Error('ENOSPC: no space left on device, write'), { code: 'ENOSPC' });
      report({ kind: 'failed', error: toCarriedError(translateFolderError(error, 'published')) });
    });
    const bench = await openPublishedBench({
      fill: pullThreeRounds,
      host: { startWorkThread: thread.start },
    });
    const job = await bench.make(packageOf(comparison));
    expect(job).toMatchObject({ state: 'failed', failure: { code: 'disk-full' } });
    expect(job.sentence).toContain('Make space, then save it again');
    expect(bench.namesInside()).toEqual([]);
    expect(bench.events).not.toContain('publishedChanged');
  });

  it('is taken away at the next start where the program ended in the middle of it', async () => {
    const bench = await openPublishedBench({
      prepare(dataFolder) {
        const folder = join(dataFolder, 'published');
        mkdirSync(join(folder, 'samples.part', 'day=1'), { recursive: true });
        writeFileSync(join(folder, 'samples.part', 'day=1', 'a.parquet'), 'half');
        writeFileSync(join(folder, 'report.pdf.part'), 'half');
        writeFileSync(join(folder, 'report.pdf'), 'whole');
      },
    });
    await expect.poll(() => bench.namesInside()).toEqual(['report.pdf']);
  });
});
