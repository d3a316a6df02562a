import BetterSqlite3 from 'better-sqlite3';
import { copyFileSync, existsSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { allMigrations, type Migration } from '../../main/storage/migrations/all-migrations.ts';
import { getTrial } from '../../main/storage/trial-repository.ts';
import { calibrationId, databasePath, open, seedBench, storeTrial } from './storage-support/bench-fixture.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

const newest = allMigrations.at(-1)?.version ?? 0;
const backupName = `form-${String(newest).padStart(4, '0')}-20260304T050607000Z.sqlite`;

/** One step more than the program has. */
function withStep(up: Migration['up']): readonly Migration[] {
  return [...allMigrations, { version: newest + 10, up }];
}

const addNote = withStep((database) => {
  database.exec('ALTER TABLE session ADD COLUMN note TEXT');
});

/** A folder with a database of the newest form that holds a kept trial. */
function makeFolder(): string {
  const folder = temporaryFolder();
  const database = open(folder);
  storeTrial(database, seedBench(database), 'kept');
  database.close();
  return folder;
}

function versionOf(path: string): unknown {
  const database = new BetterSqlite3(path, { readonly: true });
  const version = database.pragma('user_version', { simple: true });
  database.close();
  return version;
}

describe('a database whose form changes', () => {
  it('is copied before it changes, and the copy opens by itself', () => {
    const folder = makeFolder();
    const changed = open(folder, { migrations: addNote });
    expect(changed.pragma('user_version', { simple: true })).toBe(newest + 10);
    changed.close();

    const [copy, ...others] = readdirSync(join(folder, 'backups'));
    expect(others).toEqual([]);
    expect(copy).toBe(backupName);
    const restored = temporaryFolder();
    copyFileSync(join(folder, 'backups', copy ?? ''), databasePath(restored));
    const database = open(restored);
    expect(getTrial(database, 'trial-1').summary.sustainedTorqueNm).toBe(321.5);
    database.close();
  });

  it('has in its copy what was committed but still lay in the log', () => {
    const folder = makeFolder();
    const database = open(folder);
    storeTrial(database, seedAgain(), 'reviewing', { id: 'trial-late' });
    const crashed = temporaryFolder();
    for (const end of ['', '-wal'])
      copyFileSync(`${databasePath(folder)}${end}`, `${databasePath(crashed)}${end}`);
    open(crashed, { migrations: addNote }).close();
    const [copy] = readdirSync(join(crashed, 'backups'));
    const inCopy = new BetterSqlite3(join(crashed, 'backups', copy ?? ''), { readonly: true });
    expect(inCopy.prepare('SELECT count(*) FROM trial').pluck().get()).toBe(2);
    inCopy.close();
    database.close();

    function seedAgain(): ReturnType<typeof seedBench> {
      return getTrial(database, 'trial-1').conditions.transducer;
    }
  });

  it('stays as it is when the copy cannot be made', () => {
    const folder = makeFolder();
    const backupFolder = join(folder, 'backups');
    writeFileSync(backupFolder, 'a file in its place');
    expect(() => open(folder, { backupFolder, migrations: addNote })).toThrow(
      expect.objectContaining({ code: 'data-folder-unusable' }),
    );
    expect(versionOf(databasePath(folder))).toBe(newest);
  });
});

describe('a migration that fails', () => {
  it('is undone whole and says where the copy is', () => {
    const folder = makeFolder();
    const migrations = withStep((database) => {
      database.exec('DELETE FROM setting; CREATE TABLE half_done (x INTEGER) STRICT');
      throw new Error('no more ideas');
    });
    const copy = join(folder, 'backups', backupName);
    expect(() => open(folder, { migrations })).toThrow(
      expect.objectContaining({
        code: 'migration-failed',
        message: expect.stringContaining('no more ideas') as string,
        details: { schemaVersion: newest + 10, backupPath: copy },
      }),
    );
    expect(existsSync(copy)).toBe(true);
    const database = open(folder);
    expect(database.prepare("SELECT 1 FROM sqlite_schema WHERE name = 'half_done'").get()).toBeUndefined();
    expect(getTrial(database, 'trial-1').summary.state).toBe('kept');
    database.close();
  });

  it('keeps the steps before it', () => {
    const folder = makeFolder();
    const migrations: readonly Migration[] = [
      ...addNote,
      {
        version: newest + 20,
        up: (database) => {
          database.exec('DROP TABLE no_such_table');
        },
      },
    ];
    expect(() => open(folder, { migrations })).toThrow(expect.objectContaining({ code: 'migration-failed' }));
    expect(versionOf(databasePath(folder))).toBe(newest + 10);
  });

  it('is one, too, when it leaves a reference that points nowhere', () => {
    const folder = makeFolder();
    const migrations = withStep((database) => {
      database.exec('DROP TRIGGER calibration_is_never_deleted; DELETE FROM calibration');
    });
    expect(() => open(folder, { migrations })).toThrow(expect.objectContaining({ code: 'migration-failed' }));
    const database = open(folder);
    expect(getTrial(database, 'trial-1').conditions.calibrationId).toBe(calibrationId);
    database.close();
  });
});
