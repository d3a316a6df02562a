import BetterSqlite3 from 'better-sqlite3';
import {
  closeSync,
  copyFileSync,
  existsSync,
  openSync,
  readFileSync,
  statSync,
  truncateSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { appendToBenchLog, listBenchLog } from '../../main/storage/bench-log-repository.ts';
import { appendBlock, beginTrial, readRecording } from '../../main/storage/recording-repository.ts';
import { AppError, type ErrorCode } from '../../shared-lib/app-error.ts';
import { at, block, databasePath, newTrial, open, seedBench } from './storage-support/bench-fixture.ts';
import { startChild } from './storage-support/child.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

function refusalOf(work: () => unknown): AppError {
  try {
    work();
  } catch (error) {
    if (error instanceof AppError) return error;
    throw error;
  }
  throw new Error('It was not refused');
}

function expectRefusal(work: () => unknown, code: ErrorCode): AppError {
  const error = refusalOf(work);
  expect(error.code).toBe(code);
  // Three sentences: what happened, what it means for the data, what to do.
  expect(error.message.match(/[.!](\s|$)/g)?.length ?? 0).toBeGreaterThanOrEqual(3);
  return error;
}

/** A database with one trial of so many samples, closed as the program closes it. */
function makeDatabase(folder: string, slots = 10): string {
  const database = open(folder);
  beginTrial(database, newTrial(seedBench(database)), [
    block(
      0,
      Array.from({ length: slots }, (_, index) => 7 * index),
    ),
  ]);
  database.close();
  return databasePath(folder);
}

function overwrite(path: string, position: number, bytes: Uint8Array): void {
  const file = openSync(path, 'r+');
  writeSync(file, bytes, 0, bytes.length, position);
  closeSync(file);
}

describe('opening a database', () => {
  it('makes a new one whose commits survive a power cut and whose references hold', () => {
    const database = open(temporaryFolder());
    expect(database.pragma('journal_mode', { simple: true })).toBe('wal');
    // 2 is FULL: each commit is flushed to the disk.
    expect(database.pragma('synchronous', { simple: true })).toBe(2);
    expect(database.pragma('foreign_keys', { simple: true })).toBe(1);
    database.close();
  });

  it('finds again what was stored, without a backup where the form did not change', () => {
    const folder = temporaryFolder();
    makeDatabase(folder);
    const database = open(folder);
    expect(readRecording(database, 'trial-1').counts).toHaveLength(10);
    database.close();
    expect(existsSync(join(folder, 'backups'))).toBe(false);
  });

  it('takes in what a program that did not end by itself had committed', () => {
    const folder = temporaryFolder();
    const first = open(folder);
    beginTrial(first, newTrial(seedBench(first)), [block(0, [1, 2])]);
    appendBlock(first, 'trial-1', block(2, [3]));
    // The files as they lie on the disk at this moment, without the end that the first connection would give them.
    const copy = temporaryFolder();
    for (const end of ['', '-wal']) {
      writeFileSync(`${databasePath(copy)}${end}`, readFileSync(`${databasePath(folder)}${end}`));
    }
    first.close();
    const second = open(copy);
    expect(readRecording(second, 'trial-1').counts).toEqual(Int32Array.of(1, 2, 3));
    second.close();
  });

  it('refuses a newer form and leaves it as it is', () => {
    const folder = temporaryFolder();
    const path = makeDatabase(folder);
    const newer = new BetterSqlite3(path);
    newer.pragma('user_version = 100000');
    newer.close();
    const before = readFileSync(path);
    const error = expectRefusal(() => open(folder), 'database-too-new');
    expect(error.details).toMatchObject({ schemaVersion: 100_000 });
    expect(readFileSync(path)).toEqual(before);
  });

  it('refuses a file that is no database and leaves it as it is', () => {
    const folder = temporaryFolder();
    const text = 'This is a shopping list. '.repeat(400);
    writeFileSync(databasePath(folder), text);
    expectRefusal(() => open(folder), 'database-damaged');
    expect(readFileSync(databasePath(folder), 'utf8')).toBe(text);
  });

  it('refuses a damaged header', () => {
    const folder = temporaryFolder();
    overwrite(makeDatabase(folder), 0, new Uint8Array(16).fill(0x5a));
    expectRefusal(() => open(folder), 'database-damaged');
  });

  it('refuses a damaged page in the middle', () => {
    const folder = temporaryFolder();
    const path = makeDatabase(folder, 20_000);
    const pages = statSync(path).size / 4096;
    overwrite(path, Math.floor(pages / 2) * 4096, new Uint8Array(4096).fill(0x5a));
    expectRefusal(() => open(folder), 'database-damaged');
  });

  it('refuses a file that was cut off', () => {
    const folder = temporaryFolder();
    const path = makeDatabase(folder, 20_000);
    truncateSync(path, statSync(path).size - 8192);
    expectRefusal(() => open(folder), 'database-damaged');
  });

  it.each([['missing'], ['empty']])('refuses a log whose database is %s, and keeps the log', (how) => {
    const folder = temporaryFolder();
    const log = `${databasePath(folder)}-wal`;
    writeFileSync(log, 'samples that were committed');
    if (how === 'empty') writeFileSync(databasePath(folder), '');
    expectRefusal(() => open(folder), 'database-damaged');
    expect(readFileSync(log, 'utf8')).toBe('samples that were committed');
  });

  it('refuses a database that another program made', () => {
    const folder = temporaryFolder();
    const other = new BetterSqlite3(databasePath(folder));
    other.exec('CREATE TABLE recipe (title TEXT)');
    other.close();
    expectRefusal(() => open(folder), 'database-damaged');
  });

  it('says that another process holds the database', async () => {
    const folder = temporaryFolder();
    const holder = startChild('hold-database.ts', makeDatabase(folder));
    expect(await holder.nextLine()).toBe('held');
    expectRefusal(() => open(folder), 'database-locked');
    await holder.killHard();
    open(folder).close();
  });

  it('refuses a folder that is not there', () => {
    const folder = join(temporaryFolder(), 'unplugged');
    const error = expectRefusal(() => open(folder), 'data-folder-unusable');
    expect(error.details).toMatchObject({ path: folder });
  });

  it('refuses a file in place of the folder', () => {
    const path = join(temporaryFolder(), 'file');
    writeFileSync(path, '');
    expectRefusal(() => open(path), 'data-folder-unusable');
  });

  it('refuses a folder in which nothing can be made', () => {
    // The one place that refuses even the superuser.
    expectRefusal(() => open('/proc/self'), 'data-folder-unusable');
  });
});

describe('a full disk', () => {
  it('is named, leaves what was stored, and is over when there is space again', () => {
    const folder = temporaryFolder();
    const database = open(folder);
    beginTrial(database, newTrial(seedBench(database)), [block(0, [1, 2, 3])]);
    const pages = Number(database.pragma('page_count', { simple: true }));
    database.pragma(`max_page_count = ${pages + 2}`);
    const large = block(
      3,
      Array.from({ length: 50_000 }, (_, index) => index),
    );
    expectRefusal(() => appendBlock(database, 'trial-1', large), 'disk-full');
    expect(readRecording(database, 'trial-1').counts).toEqual(Int32Array.of(1, 2, 3));
    database.pragma('max_page_count = 1073741823');
    appendBlock(database, 'trial-1', large);
    expect(readRecording(database, 'trial-1').counts).toHaveLength(50_003);
    database.close();
  });
});

describe('an unclean end', () => {
  it('leaves a sound database with every block that was acknowledged', async () => {
    const folder = temporaryFolder();
    const child = startChild('append-until-killed.ts', folder);
    let acknowledgedSlots = 0;
    while (acknowledgedSlots < 600) acknowledgedSlots = Number(await child.nextLine());
    await child.killHard();
    for (let line = await child.nextLine(); line !== undefined; line = await child.nextLine()) {
      acknowledgedSlots = Number(line);
    }

    const database = open(folder);
    expect(database.pragma('integrity_check', { simple: true })).toBe('ok');
    const { counts, gaps } = readRecording(database, 'trial-1');
    expect(counts.length).toBeGreaterThanOrEqual(acknowledgedSlots);
    expect(counts).toEqual(Int32Array.from({ length: counts.length }, (_, index) => index));
    expect(gaps).toEqual([]);
    database.close();
  });

  /** The files of a database of 20 MB as they lie on the disk while the program runs, one page of a table overwritten. */
  function copyLargeWithDamage(table: string, pageType: string): string {
    const folder = temporaryFolder();
    const database = open(folder);
    // Flushing 20 MB is not what is tested here.
    database.pragma('synchronous = OFF');
    beginTrial(database, newTrial(seedBench(database)), []);
    for (let part = 0; part < 7; part += 1) {
      const slots = 720_000;
      appendBlock(database, 'trial-1', {
        ...block(part * slots, []),
        counts: new Int32Array(slots).fill(part),
      });
    }
    database.pragma('wal_checkpoint(TRUNCATE)');
    appendToBenchLog(database, { at, kind: 'test', text: 'left in the log' });
    const page = database
      .prepare<[string, string], number>(
        'SELECT pageno FROM dbstat WHERE name = ? AND pagetype = ? ORDER BY pageno DESC LIMIT 1',
      )
      .pluck()
      .get(table, pageType);
    const copy = temporaryFolder();
    for (const end of ['', '-wal'])
      copyFileSync(`${databasePath(folder)}${end}`, `${databasePath(copy)}${end}`);
    database.close();
    overwrite(databasePath(copy), ((page ?? 0) - 1) * 4096, new Uint8Array(4096).fill(0x5a));
    return copy;
  }

  it('has a large database checked, too', () => {
    const folder = copyLargeWithDamage('trial', 'leaf');
    expectRefusal(() => open(folder), 'database-damaged');
  });

  it('does not wait for the samples of a large database: damage in them is named when they are read', () => {
    const database = open(copyLargeWithDamage('raw_block', 'overflow'));
    expect(listBenchLog(database, 1)).toMatchObject([{ text: 'left in the log' }]);
    expectRefusal(() => readRecording(database, 'trial-1'), 'block-corrupt');
    database.close();
  });
});
