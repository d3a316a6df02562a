import { copyFileSync, existsSync, mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import BetterSqlite3 from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { defaultBackupRule } from '../../shared-lib/backup/backup-requests.ts';
import type { Job } from '../../shared-lib/publishing/publishing-model.ts';
import { createBackupFolder } from '../../main/backup/backup-folder.ts';
import { createDailyBackup } from '../../main/backup/daily-backup.ts';
import { makeBackup } from '../../main/backup/make-backup.ts';
import type { WorkThread } from '../../main/platform/platform.ts';
import { createJobs } from '../../main/work/jobs.ts';
import { createLogger } from '../../main/platform/logger.ts';
import type { ShareTools } from '../../main/share-tools.ts';
import type { ReadableDatabase } from '../../main/storage/database.ts';
import { readRecording } from '../../main/storage/recording-repository.ts';
import { makeDataFolder, type RunningServices, startRealServices } from '../helpers/running-services.ts';
import { open } from './storage-support/bench-fixture.ts';
import { toolsOfHost } from '../helpers/tools-of-host.ts';

const folder = makeDataFolder();
let services: RunningServices;

beforeAll(async () => {
  services = await startRealServices(folder.path);
});
afterAll(async () => {
  await services.close();
  folder.remove();
});

async function ended(jobId: string): Promise<Job> {
  return vi.waitFor(
    async () => {
      const { jobs } = await services.handlers.listJobs({});
      const job = jobs.find((one) => one.jobId === jobId);
      if (job === undefined || job.state === 'waiting' || job.state === 'working') throw new Error('Not yet');
      return job;
    },
    { timeout: 30_000, interval: 30 },
  );
}

async function backUp(): Promise<Job> {
  const { jobId } = await services.handlers.makeBackup({});
  return ended(jobId);
}

describe('a backup', () => {
  it('is made while a trial records, and neither loses a sample', async () => {
    const { handlers } = services;
    await handlers.connectSimulatedBench({});
    await services.until('nothing in the way', ({ obstacles }) => obstacles.length === 0);
    await handlers.armTrial({});
    await services.untilPhase('run');
    const job = await backUp();
    expect(job).toMatchObject({ state: 'done' });
    expect((await services.status()).trial.phase).toBe('run');
    const ending = await services.until(
      'the end of the trial',
      ({ trial }) => trial.phase === 'kept' || trial.phase === 'reviewing',
    );
    if (!('trialId' in ending.trial)) throw new Error('A trial that has ended has an id');
    const { trialId } = ending.trial;
    await handlers.disconnectAmplifier({});

    const whole = new BetterSqlite3(join(folder.path, 'proofarm.db'), { readonly: true });
    const copy = new BetterSqlite3(join(folder.path, 'backups', job.fileName ?? ''), { readonly: true });
    try {
      const recorded = readRecording(whole as unknown as ReadableDatabase, trialId);
      const backedUp = readRecording(copy as unknown as ReadableDatabase, trialId);
      expect(recorded.gaps).toEqual([]);
      expect(backedUp.counts.length).toBeGreaterThan(0);
      expect(backedUp.counts).toEqual(recorded.counts.slice(0, backedUp.counts.length));
    } finally {
      whole.close();
      copy.close();
    }
  });

  it('goes to a second folder too; trouble there is said and does not stop the first', async () => {
    const { handlers } = services;
    const second = join(folder.path, 'second');
    await handlers.updateSettings({ backup: { ...defaultBackupRule, alsoInFolder: second } });
    const { fileName, sentence } = await backUp();
    expect(readdirSync(second)).toEqual([fileName]);
    expect(sentence).toContain('read all of it back');

    const noFolder = join(folder.path, 'a-file');
    writeFileSync(noFolder, '');
    await handlers.updateSettings({
      backup: { ...defaultBackupRule, alsoInFolder: join(noFolder, 'below') },
    });
    const job = await backUp();
    expect(job).toMatchObject({ state: 'done' });
    expect(job.sentence).toContain('not in the second folder');
    expect(existsSync(join(folder.path, 'backups', job.fileName ?? ''))).toBe(true);
    await handlers.updateSettings({ backup: defaultBackupRule });
  });

  it('that cannot be written says why and leaves nothing half-written', async () => {
    const other = makeDataFolder();
    const blocked = await startRealServices(other.path);
    try {
      // A file stands where the folder of backups would have to be.
      writeFileSync(join(other.path, 'backups'), '');
      await blocked.handlers.makeBackup({});
      await vi.waitFor(
        async () => {
          const { jobs } = await blocked.handlers.listJobs({});
          expect(jobs[0]).toMatchObject({ state: 'failed', failure: { code: 'data-folder-unusable' } });
        },
        { timeout: 20_000, interval: 50 },
      );
      expect(readdirSync(other.path).filter((name) => name.includes('.part'))).toEqual([]);
    } finally {
      await blocked.close();
      other.remove();
    }
  });
});

describe('a backup that was cut off', () => {
  it('leaves nothing where its thread had to be ended, nor when the program was', async () => {
    const other = makeDataFolder();
    const backups = join(other.path, 'backups');
    const database = open(other.path);
    const jobs = createJobs(
      createLogger(() => undefined),
      () => undefined,
    );
    const exits: (() => void)[] = [];
    const platform = {
      ...toolsOfHost,
      clock: { now: () => new Date() },
      log: createLogger(() => undefined),
      softwareVersion: '0.0.0-test',
      // A copy that does not look up, as SQLite does not while it copies.
      startWorkThread: ({ input }: { input: { targetFile: string } }): WorkThread => {
        writeFileSync(`${input.targetFile}.part`, 'half of it');
        writeFileSync(`${input.targetFile}.part-journal`, 'half of it');
        return {
          onReport: () => undefined,
          onExit: (listener) => exits.push(() => listener(undefined)),
          cancel: () => undefined,
          kill: () => {
            for (const exit of exits) exit();
            return Promise.resolve();
          },
        };
      },
    };
    const settings = { current: () => ({ backup: defaultBackupRule }) };
    const tools = {
      platform,
      database,
      databasePath: database.name,
      settings,
      emit: () => undefined,
    } as unknown as ShareTools;
    try {
      const { jobId, ended: done } = jobs.start('Backup', (job) =>
        makeBackup(tools, createBackupFolder(backups), 'asked', job),
      );
      await vi.waitFor(() => expect(readdirSync(backups)).toHaveLength(2));
      jobs.cancel(jobId);
      await done;
      expect(jobs.list()[0]).toMatchObject({ state: 'cancelled' });
      expect(readdirSync(backups)).toEqual([]);

      const left = ['backup-20260304T081500000Z-daily.sqlite.part', 'backup-1-daily.sqlite.part-journal'];
      for (const name of [...left, 'my.part']) writeFileSync(join(backups, name), '');
      createBackupFolder(backups).sweep();
      expect(readdirSync(backups)).toEqual(['my.part']);
    } finally {
      await jobs.close();
      database.close();
      other.remove();
    }
  });
});

describe('the daily backup', () => {
  it('is made once a day, not beside a trial, and old ones are thinned out', async () => {
    const other = makeDataFolder();
    const backups = createBackupFolder(join(other.path, 'backups'));
    const shared = join(other.path, 'shared-by-benches');
    const database = open(other.path);
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
    let nowMs = Date.UTC(2026, 2, 4, 10);
    let isBusy = true;
    const log = createLogger(() => undefined);
    const jobs = createJobs(log, () => undefined);
    const tools = {
      platform: { ...toolsOfHost, clock: { now: () => new Date(nowMs) }, log, softwareVersion: '0.0.0-test' },
      database,
      databasePath: database.name,
      settings: {
        current: () => ({
          backup: { ...defaultBackupRule, keepDays: 2, keepWeeks: 0, keepMonths: 0, alsoInFolder: shared },
        }),
      },
      jobs,
      isBenchBusy: () => isBusy,
      emit: () => undefined,
      // Only what is asked of them here.
    } as unknown as ShareTools;
    const daily = createDailyBackup(tools, backups);
    const passHours = async (hours: number): Promise<void> => {
      for (let hour = 0; hour < hours; hour += 1) {
        nowMs += 3_600_000;
        vi.advanceTimersByTime(3_600_000);
        await vi.waitFor(() => {
          if (jobs.list().some(({ state }) => state === 'waiting' || state === 'working'))
            throw new Error('Busy');
        }, 20_000);
      }
    };
    try {
      await passHours(2);
      expect(backups.list().backups).toEqual([]);
      isBusy = false;
      await passHours(3);
      expect(backups.list().backups.map(({ why }) => why)).toEqual(['daily']);
      const [first] = readdirSync(shared);
      // As another bench would have made it on that day.
      const ofAnother = 'backup-20260304T081500000Z-daily.sqlite';
      copyFileSync(join(shared, first ?? ''), join(shared, ofAnother));
      await passHours(72);
      const names = backups.list().backups.map(({ fileName }) => fileName);
      expect(names).toHaveLength(2);
      expect(readdirSync(shared).sort()).toEqual([...names, ofAnother].sort());
      expect(daily.problem()).toBeNull();
    } finally {
      daily.close();
      vi.useRealTimers();
      await jobs.close();
      database.close();
      other.remove();
    }
  });
});

describe('a name from outside', () => {
  it('never leads out of the folder of backups', () => {
    mkdirSync(join(folder.path, 'backups'), { recursive: true });
    const backups = createBackupFolder(join(folder.path, 'backups'));
    for (const name of ['../proofarm.db', '..', '/etc/passwd', 'backup-../x.sqlite']) {
      expect(() => backups.fileOf(name)).toThrow(/There is no backup/);
    }
  });
});
