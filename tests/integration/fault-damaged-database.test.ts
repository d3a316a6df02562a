import BetterSqlite3 from 'better-sqlite3';
import { createHash } from 'node:crypto';
import { closeSync, existsSync, openSync, readdirSync, readFileSync, statSync, writeSync } from 'node:fs';
import { cp } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { salvage } from '../../scripts/salvage.ts';
import { acquireInstanceLock } from '../../main/storage/instance-lock.ts';
import { openDatabase } from '../../main/storage/open-database.ts';
import {
  appendBlock,
  beginTrial,
  finishRecording,
  readRecording,
} from '../../main/storage/recording-repository.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { block, ended, newTrial, seedBench } from './storage-support/bench-fixture.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

const PAGE_BYTES = 4096;
const TRIALS = 12;
const BLOCKS = 4;
const SLOTS_PER_BLOCK = 1500;

const quiet = { info: () => undefined, warn: () => undefined };

function openIn(folder: string): WritableDatabase {
  return openDatabase({
    filePath: join(folder, 'proofarm.db'),
    backupFolder: join(folder, 'backups'),
    now: () => new Date(),
    log: quiet,
  });
}

/** A dozen kept trials of four blocks each, each block larger than a page. */
function makeWorkshop(): string {
  const folder = temporaryFolder();
  const database = openIn(folder);
  const transducer = seedBench(database);
  for (let trial = 0; trial < TRIALS; trial += 1) {
    const id = `trial-${trial}`;
    beginTrial(database, newTrial(transducer, { id }), []);
    for (let part = 0; part < BLOCKS; part += 1) {
      const counts = Array.from({ length: SLOTS_PER_BLOCK }, (_, index) => trial * 10_000 + index * 7 + part);
      appendBlock(database, id, block(part * SLOTS_PER_BLOCK, counts));
    }
    finishRecording(database, id, ended('kept'));
  }
  database.close();
  return folder;
}

function overwritePage(folder: string, page: number): void {
  const file = openSync(join(folder, 'proofarm.db'), 'r+');
  writeSync(file, new Uint8Array(PAGE_BYTES).fill(0x5a), 0, PAGE_BYTES, (page - 1) * PAGE_BYTES);
  closeSync(file);
}

/** The pages of a table or index, of one type. */
function pagesOf(folder: string, name: string, type: string): number[] {
  const database = new BetterSqlite3(join(folder, 'proofarm.db'), { readonly: true });
  const pages = database
    .prepare<[string, string], number>(
      'SELECT pageno FROM dbstat WHERE name = ? AND pagetype = ? ORDER BY pageno',
    )
    .pluck()
    .all(name, type);
  database.close();
  return pages;
}

function salvaged(folder: string, into: string): { code: number; text: string } {
  let text = '';
  const write = (written: string) => (text += written);
  const code = salvage([folder, '--into', into], { stdout: { write }, stderr: { write } });
  return { code, text };
}

const checksum = (path: string): string => createHash('sha256').update(readFileSync(path)).digest('hex');

function tablesOf(database: BetterSqlite3.Database): Map<string, Set<string>> {
  const names = database
    .prepare<[], string>(`SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'`)
    .pluck()
    .all();
  return new Map(
    names.map((name) => [
      name,
      new Set(
        database
          .prepare<[], object>(`SELECT * FROM "${name}"`)
          .all()
          .map((row) => JSON.stringify(row)),
      ),
    ]),
  );
}

async function copyOf(folder: string): Promise<string> {
  const copy = temporaryFolder();
  await cp(folder, copy, { recursive: true });
  return copy;
}

describe('a database that is salvaged', () => {
  it('comes over whole where it is sound, log and all, and the old files stay as they are', async () => {
    const folder = makeWorkshop();
    const running = openIn(folder);
    running
      .prepare(`INSERT INTO bench_log (at, kind, text) VALUES ('2026-03-04', 'test', 'in the log')`)
      .run();
    const copy = await copyOf(folder);
    const expected = tablesOf(running);
    running.close();
    const before = ['proofarm.db', 'proofarm.db-wal'].map((name) => checksum(join(copy, name)));
    const into = join(temporaryFolder(), 'new');
    const { code, text } = salvaged(copy, into);
    expect(text).toContain('Nothing was lost.');
    expect(code).toBe(0);
    expect(['proofarm.db', 'proofarm.db-wal'].map((name) => checksum(join(copy, name)))).toEqual(before);
    const database = openIn(into);
    expect(tablesOf(database)).toEqual(expected);
    database.close();
    expect(readdirSync(into).sort()).toEqual(['proofarm.db', 'salvage.txt']);
  });

  it('loses of a damaged page of samples just these, by name, and no other trial', () => {
    const folder = makeWorkshop();
    const page = pagesOf(folder, 'raw_block', 'overflow')[17]!;
    overwritePage(folder, page);
    const into = join(temporaryFolder(), 'new');
    const { code, text } = salvaged(folder, into);
    expect(code).toBe(1);
    const [, first, last, lostFrom] =
      /The samples (\d+) to (\d+) of trial (trial-\d+) are damaged/.exec(text) ?? [];
    const database = openIn(into);
    for (let trial = 0; trial < TRIALS; trial += 1) {
      const id = `trial-${trial}`;
      const { counts, gaps } = readRecording(database, id);
      const lostSlots = gaps.reduce((sum, { length }) => sum + length, 0);
      expect(counts).toHaveLength(BLOCKS * SLOTS_PER_BLOCK);
      expect(lostSlots).toBe(id === lostFrom ? Number(last) - Number(first) + 1 : 0);
      if (id === lostFrom) expect(gaps).toEqual([{ offset: Number(first), length: SLOTS_PER_BLOCK }]);
    }
    database.close();
  });

  it('names the trials that are lost, and puts their samples aside', () => {
    const folder = makeWorkshop();
    const page = pagesOf(folder, 'trial', 'leaf')[1]!;
    overwritePage(folder, page);
    const into = join(temporaryFolder(), 'new');
    const { code, text } = salvaged(folder, into);
    expect(code).toBe(1);
    const lost = [...text.matchAll(/^ {2}id (trial-\d+)$/gm)].map(([, id]) => id!);
    expect(lost.length).toBeGreaterThan(0);
    const database = openIn(into);
    const left = database.prepare<[], string>('SELECT id FROM trial').pluck().all();
    database.close();
    expect([...left, ...lost].sort()).toEqual(Array.from({ length: TRIALS }, (_, n) => `trial-${n}`).sort());
    const aside = readFileSync(join(into, 'leftovers.jsonl'), 'utf8')
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line) as { table: string; row: { trial_id: string } });
    const blocks = aside.filter(({ table }) => table === 'raw_block').map(({ row }) => row.trial_id);
    expect([...new Set(blocks)].sort()).toEqual([...lost].sort());
    expect(blocks).toHaveLength(lost.length * BLOCKS);
  });

  it('opens and holds nothing but what was there, whichever page is damaged, or says that nothing can be read', async () => {
    const folder = makeWorkshop();
    const sound = openIn(folder);
    const original = tablesOf(sound);
    sound.close();
    const pageCount = statSync(join(folder, 'proofarm.db')).size / PAGE_BYTES;
    let refused = 0;
    for (let page = 1; page <= pageCount; page += 19) {
      const copy = await copyOf(folder);
      overwritePage(copy, page);
      const into = join(temporaryFolder(), 'new');
      const { text } = salvaged(copy, into);
      if (!existsSync(into)) {
        expect(text).toMatch(/Nothing was changed\. .*restore the newest backup/);
        refused += 1;
        continue;
      }
      const database = openIn(into);
      expect(database.pragma('integrity_check', { simple: true })).toBe('ok');
      expect(database.pragma('foreign_key_check')).toEqual([]);
      for (const [name, rows] of tablesOf(database)) {
        const strange = [...rows].filter((row) => original.get(name)?.has(row) === false);
        // A row whose neighbour was lost may have the reference to it emptied; nothing else is ever another.
        const mayBeOther = text.includes(` of ${name} named a row of `);
        expect(strange.length === 0 || mayBeOther, `${name} with page ${page} damaged`).toBe(true);
      }
      database.close();
    }
    // Those of the list of tables.
    expect(refused).toBeLessThan(pageCount / 6);
  });

  it('is refused while the program runs on it, and into a folder that is there', () => {
    const folder = makeWorkshop();
    const lock = acquireInstanceLock(folder);
    const into = join(temporaryFolder(), 'new');
    expect(salvaged(folder, into)).toMatchObject({
      code: 1,
      text: expect.stringContaining('The program is running on'),
    });
    expect(existsSync(into)).toBe(false);
    if ('release' in lock) lock.release();
    expect(salvaged(folder, temporaryFolder()).text).toContain('is there already');
  });
});
