import { copyFileSync, existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import BetterSqlite3 from 'better-sqlite3';
import { beforeEach, describe, expect, it } from 'vitest';
import { AppError } from '../../shared-lib/app-error.ts';
import { digestFile, writeDigest } from '../../main/backup/backup-seal.ts';
import { checkBackup } from '../../main/backup/check-backup.ts';
import { strangeForm } from '../../main/backup/check-form.ts';
import { prepareRestore } from '../../main/backup/prepare-restore.ts';
import { writeBackup } from '../../main/backup/write-backup.ts';
import type { ReadableDatabase } from '../../main/storage/database.ts';
import { quietTools } from './package-support/package-bench.ts';
import { at, databasePath, open, seedBench, storeTrial } from './storage-support/bench-fixture.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

/**
 * A backup that a stranger made, or changed with knowledge of the program: its seal and its checksums are right, since whoever knows how they are made
 * can make them. What it must not do is to bring rules of its own into the data.
 */
let folder: string;
let good: string;
beforeEach(async () => {
  folder = temporaryFolder();
  const database = open(folder);
  storeTrial(database, seedBench(database), 'kept');
  database.close();
  good = join(folder, 'good.sqlite');
  await writeBackup(
    {
      databasePath: databasePath(folder),
      targetFile: good,
      madeAt: at,
      why: 'asked',
      benchName: 'Bench A (demo)',
      softwareVersion: '0.1.0',
    },
    quietTools,
  );
});

/** Changes a copy of the good one and makes its seal right again. */
async function forged(change: (database: BetterSqlite3.Database) => void): Promise<string> {
  const path = join(folder, 'forged.sqlite');
  copyFileSync(good, path);
  const database = new BetterSqlite3(path);
  // To write into the schema itself, as whoever forges a file can.
  database.unsafeMode(true);
  change(database);
  const checksum = database.prepare<[], string>('SELECT checksum FROM backup_seal').pluck().get() ?? '';
  database.close();
  const marker = checksum.slice(0, checksum.lastIndexOf(':') + 1);
  const { digest, offset } = await digestFile(path, marker, () => Promise.resolve());
  await writeDigest(path, offset, digest);
  return path;
}

const preview = (file: string) =>
  checkBackup({ file, fileName: 'forged.sqlite', databasePath: databasePath(folder) }, quietTools);

async function refusalOf(path: string): Promise<AppError> {
  const before = readFileSync(databasePath(folder));
  const names = readdirSync(folder).toSorted();
  const refused = await preview(path).then(
    () => null,
    (error: unknown) => error,
  );
  if (!(refused instanceof AppError)) throw new Error('It was not refused', { cause: refused });
  const targetFile = join(folder, 'prepared.sqlite');
  const restored = prepareRestore({ file: path, checksum: digestOf(path), targetFile }, quietTools);
  await expect(restored).rejects.toMatchObject({ code: 'backup-damaged' });
  expect(existsSync(targetFile)).toBe(false);
  expect(readFileSync(databasePath(folder)).equals(before)).toBe(true);
  expect(readdirSync(folder).toSorted()).toEqual(names);
  return refused;
}

function digestOf(path: string): string {
  const database = new BetterSqlite3(path, { readonly: true });
  const checksum = database.prepare<[], string>('SELECT checksum FROM backup_seal').pluck().get() ?? '';
  database.close();
  return checksum.slice(checksum.lastIndexOf(':') + 1);
}

describe('a backup with a right seal', () => {
  it('is taken where it is what the program made, to show that these would be otherwise', async () => {
    const same = await forged(() => undefined);
    expect((await preview(same)).backup.trialCount).toBe(1);
    const targetFile = join(folder, 'prepared.sqlite');
    await prepareRestore({ file: same, checksum: digestOf(same), targetFile }, quietTools);
    expect(existsSync(targetFile)).toBe(true);
  });

  it.each<[string, string, RegExp]>([
    [
      'a trigger that changes what is stored',
      `CREATE TRIGGER helpful AFTER INSERT ON trial_decision BEGIN UPDATE trial SET tool_name = 'X'; END`,
      /has a trigger "helpful" that the program never makes/,
    ],
    [
      'a trigger that never ends',
      `CREATE TRIGGER slow AFTER INSERT ON session BEGIN SELECT count(*) FROM (WITH RECURSIVE n(x) AS (SELECT 1 UNION ALL SELECT x + 1 FROM n) SELECT x FROM n); END`,
      /has a trigger "slow"/,
    ],
    [
      'a view that never ends in the place of the samples',
      `ALTER TABLE raw_block RENAME TO hidden; DROP TRIGGER IF EXISTS raw_block_is_never_edited;
       CREATE VIEW raw_block AS WITH RECURSIVE n(x) AS (SELECT 1 UNION ALL SELECT x + 1 FROM n) SELECT x AS trial_id FROM n`,
      /"raw_block" is a view|"hidden"|defined otherwise/,
    ],
    ['a table of its own', `CREATE TABLE luggage (x BLOB)`, /has a table "luggage"/],
    ['a virtual table', `CREATE VIRTUAL TABLE search USING fts5(x)`, /has a table "search/],
    [
      'an index whose rule is computed',
      `CREATE INDEX odd ON session (hex(zeroblob(length(id))))`,
      /an? index "odd"/,
    ],
    [
      'a column that is computed',
      `ALTER TABLE session ADD COLUMN odd TEXT AS (hex(zeroblob(9)))`,
      /table "session" is defined otherwise/,
    ],
  ])('is refused where it has %s', async (_, sql, told) => {
    const refused = await refusalOf(await forged((database) => database.exec(sql)));
    expect(refused.message).toMatch(told);
    expect(refused.message).toContain('nothing else was touched');
  });

  it('is refused where a guard of the stored data is gone, or guards no more', async () => {
    const gone = await forged((database) => database.exec('DROP TRIGGER raw_block_is_never_edited'));
    expect((await refusalOf(gone)).message).toContain('trigger "raw_block_is_never_edited" is missing');
    const empty = await forged((database) =>
      database.exec(
        `DROP TRIGGER raw_block_is_never_edited; CREATE TRIGGER raw_block_is_never_edited BEFORE UPDATE ON raw_block BEGIN SELECT 1; END`,
      ),
    );
    expect((await refusalOf(empty)).message).toContain('is defined otherwise');
  });

  it('is refused where a table takes values that ours refuses', async () => {
    const loose = await forged((database) => {
      database.pragma('writable_schema = ON');
      database.exec(`UPDATE sqlite_schema SET sql = replace(sql, 'planned_s > 0', 'planned_s > -9')`);
    });
    expect((await refusalOf(loose)).message).toMatch(/table "\w+" is defined otherwise/);
  });

  it.each<[string, string, RegExp]>([
    ['another program', 'application_id = 0', /header does not say that this program made it/],
    ['a form that there never was', 'user_version = 15', /form 15 is none that the program ever had/],
    ['an older form than it has', 'user_version = 10', /that the program never makes|defined otherwise/],
  ])('is refused where it says that it is of %s', async (_, pragma, told) => {
    const refused = await refusalOf(await forged((database) => void database.pragma(pragma)));
    expect(refused.message).toMatch(told);
  });

  it('of a newer program is told apart from a forged one', async () => {
    const newer = await forged((database) => void database.pragma('user_version = 9990'));
    await expect(preview(newer)).rejects.toMatchObject({ code: 'database-too-new' });
  });
});

describe('the form of a database', () => {
  const fixtures = new URL('../fixtures/databases/', import.meta.url);

  it.each(readdirSync(fixtures).filter((name) => name.endsWith('.sqlite')))(
    'of an earlier version is known as ours, as it was and brought to the newest form: %s',
    (name) => {
      const path = databasePath(temporaryFolder());
      copyFileSync(new URL(name, fixtures), path);
      const asItWas = new BetterSqlite3(path, { readonly: true });
      expect(strangeForm(asItWas as ReadableDatabase)).toBeNull();
      asItWas.close();
      const brought = open(join(path, '..'));
      expect(strangeForm(brought)).toBeNull();
      brought.close();
    },
  );

  it('of no database at all is for SQLite to tell', async () => {
    const path = join(folder, 'none.sqlite');
    writeFileSync(path, 'SQLite format 3\0 but nothing behind it'.padEnd(5000, '.'));
    await expect(preview(path)).rejects.toMatchObject({ code: 'backup-damaged' });
  });
});
