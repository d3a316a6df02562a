import { copyFileSync, existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import BetterSqlite3 from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import type { EventPayload } from '../../shared-lib/api-contract.ts';
import type { Job } from '../../shared-lib/publishing/publishing-model.ts';
import { readerEntry } from '../../main/hosts/program-files.ts';
import { forkReader } from '../../main/hosts/loopback/fork-reader.ts';
import { type StartedServices, startServices } from '../../main/hosts/start-services.ts';
import { makeDataFolder } from '../helpers/running-services.ts';

const folder = makeDataFolder();
let started: StartedServices;

beforeAll(async () => {
  started = await start(folder.path);
});
afterAll(async () => {
  await started.end();
  folder.remove();
});

async function start(dataFolder: string): Promise<StartedServices> {
  const begun = await startServices({
    dataFolder,
    host: 'browser',
    isSimulated: false,
    startReader: (log) => forkReader(readerEntry, log),
  });
  if ('runningAt' in begun) throw new Error('Another program has the folder');
  return begun;
}

const handlers = () => started.services.handlers;

async function ended(jobId: string): Promise<Job> {
  return vi.waitFor(
    async () => {
      const job = (await handlers().listJobs({})).jobs.find((one) => one.jobId === jobId);
      if (job === undefined || job.state === 'waiting' || job.state === 'working') throw new Error('Not yet');
      return job;
    },
    { timeout: 30_000, interval: 30 },
  );
}

/** The path of a backup that was asked for just now. */
async function backUp(): Promise<string> {
  const { jobId } = await handlers().makeBackup({});
  const job = await ended(jobId);
  expect(job).toMatchObject({ state: 'done' });
  return join(folder.path, 'backups', job.fileName ?? '');
}

/** Every row of every table, without what the copy has of its own. */
function rowsOf(path: string): Record<string, unknown[]> {
  const database = new BetterSqlite3(path, { readonly: true });
  try {
    const tables = database
      .prepare<[], string>(
        `SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' AND name <> 'backup_seal' ORDER BY name`,
      )
      .pluck()
      .all();
    return Object.fromEntries(
      tables.map((table) => [table, database.prepare(`SELECT * FROM ${table}`).all()]),
    );
  } finally {
    database.close();
  }
}

describe('a backup that is restored', () => {
  it('brings back what was there, keeps what is there now, and the program goes on', async () => {
    await handlers().updateSettings({ operator: 'Before' });
    await handlers().addTransducer({ name: 'Kept on the shelf' });
    const backup = await backUp();
    const rows = rowsOf(backup);
    await handlers().updateSettings({ operator: 'After' });
    await handlers().addTransducer({ name: 'Bought later' });

    const source = { from: 'path', path: backup } as const;
    const preview = await handlers().previewRestore({ source });
    expect(preview.sentences[0]).toBe(
      'Every trial, calibration version and edition that is here is in the backup too.',
    );
    expect(preview.sentences[2]).toMatch(/goes back to how it was then/);
    const heard: string[] = [];
    const stop = started.services.onEvent((name) => heard.push(name));
    const { keptAs } = await handlers().restoreBackup({ source, checksum: preview.checksum });
    stop();

    expect(heard).toContain('dataReplaced');
    expect((await handlers().getSettings({})).operator).toBe('Before');
    const { transducers } = await handlers().listTransducers({});
    expect(transducers.map(({ name }) => name)).toContain('Kept on the shelf');
    expect(transducers.map(({ name }) => name)).not.toContain('Bought later');
    expect(rowsOf(join(folder.path, 'proofarm.db'))).toEqual(rows);
    expect(existsSync(join(folder.path, 'proofarm.db.restored'))).toBe(false);

    const kept = rowsOf(join(folder.path, 'backups', keptAs));
    expect(JSON.stringify(kept['transducer'])).toContain('Bought later');
    const { backups } = await handlers().listBackups({});
    expect(backups.map(({ why }) => why)).toEqual(['beforeRestore', 'asked']);
  });

  it('is refused where something is stored meanwhile, which would be in neither', async () => {
    const backup = await backUp();
    const source = { from: 'path', path: backup } as const;
    const { checksum } = await handlers().previewRestore({ source });
    let isStored = false;
    const stop = started.services.onEvent((name, payload) => {
      if (name !== 'jobsChanged' || isStored) return;
      const { jobs } = payload as EventPayload<'jobsChanged'>;
      if (!jobs.some(({ sentence }) => sentence === 'Copying the database.')) return;
      isStored = true;
      void handlers().addTransducer({ name: 'Stored in between' });
    });
    await expect(Promise.resolve(handlers().restoreBackup({ source, checksum }))).rejects.toMatchObject({
      code: 'invalid-state',
      message: expect.stringMatching(/would have been lost, so nothing was replaced/) as unknown,
    });
    stop();
    expect(isStored).toBe(true);
    const { transducers } = await handlers().listTransducers({});
    expect(transducers.map(({ name }) => name)).toContain('Stored in between');
    expect(existsSync(join(folder.path, 'proofarm.db.restored'))).toBe(false);
  });

  it('is refused where it is another one than the one that was looked at', async () => {
    const backup = await backUp();
    const source = { from: 'path', path: backup } as const;
    await expect(
      Promise.resolve(handlers().restoreBackup({ source, checksum: '0'.repeat(64) })),
    ).rejects.toMatchObject({ code: 'invalid-state' });
    expect((await handlers().getStatus({})).trial.phase).toBe('idle');
    expect(readdirSync(folder.path).filter((name) => name.includes('restored'))).toEqual([]);
  });

  it('is refused beside a trial', async () => {
    const backup = await backUp();
    const source = { from: 'path', path: backup } as const;
    const { checksum } = await handlers().previewRestore({ source });
    await handlers().connectSimulatedBench({});
    await vi.waitFor(
      async () => {
        expect((await handlers().getStatus({})).obstacles).toEqual([]);
      },
      { timeout: 20_000, interval: 100 },
    );
    await handlers().armTrial({});
    await expect(
      Promise.resolve().then(() => handlers().restoreBackup({ source, checksum })),
    ).rejects.toMatchObject({ code: 'invalid-state' });
    await handlers().stopTrial({});
    await handlers().disconnectAmplifier({});
  });
});

describe('a backup that cannot be trusted', () => {
  it('is refused, and nothing is changed, wherever a byte of it was turned', async () => {
    const backup = await backUp();
    const bytes = readFileSync(backup);
    const damagedFile = join(folder.path, 'damaged.sqlite');
    const before = rowsOf(join(folder.path, 'proofarm.db'));
    // Every part of the file: its header, its pages, its last byte.
    const positions = [
      0,
      17,
      30,
      100,
      ...Array.from({ length: 12 }, (_, k) => Math.floor(((k + 0.5) / 12) * bytes.length)),
      bytes.length - 1,
    ];
    for (const position of positions) {
      const turned = Buffer.from(bytes);
      turned.writeUInt8(turned.readUInt8(position) ^ 0x10, position);
      writeFileSync(damagedFile, turned);
      await expect(
        Promise.resolve(handlers().previewRestore({ source: { from: 'path', path: damagedFile } })),
        `byte ${position}`,
      ).rejects.toMatchObject({ code: 'backup-damaged' });
    }
    expect(rowsOf(join(folder.path, 'proofarm.db'))).toEqual(before);
  });

  it.each([
    ['cut off', (bytes: Buffer) => bytes.subarray(0, bytes.length / 2)],
    ['a text', () => Buffer.from('Not a database at all, but long enough to look at.'.repeat(20))],
    ['empty', () => Buffer.alloc(0)],
  ])('is refused where it is %s', async (_name, damage) => {
    const path = join(folder.path, 'strange.sqlite');
    copyFileSync(await backUp(), path);
    writeFileSync(path, damage(readFileSync(path)));
    await expect(
      Promise.resolve(handlers().previewRestore({ source: { from: 'path', path } })),
    ).rejects.toMatchObject({ code: 'backup-damaged' });
  });

  it('is refused where another program made it', async () => {
    const path = join(folder.path, 'other.sqlite');
    const other = new BetterSqlite3(path);
    other.exec('CREATE TABLE note (text TEXT)');
    other.close();
    await expect(
      Promise.resolve(handlers().previewRestore({ source: { from: 'path', path } })),
    ).rejects.toMatchObject({ code: 'backup-damaged' });
  });

  it('is not found outside of its folder', async () => {
    await expect(
      Promise.resolve(handlers().verifyBackup({ fileName: '../proofarm.db' })),
    ).rejects.toMatchObject({ code: 'backup-not-found' });
  });
});
