import { fork } from 'node:child_process';
import { once } from 'node:events';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import BetterSqlite3 from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { putInPlace } from '../../main/backup/put-in-place.ts';
import { makeDataFolder } from '../helpers/running-services.ts';

const child = fileURLToPath(new URL('storage-support/put-in-place-and-die.ts', import.meta.url));

function makeDatabase(path: string, words: string): void {
  const database = new BetterSqlite3(path);
  database.pragma('journal_mode = WAL');
  database.exec('CREATE TABLE note (text TEXT)');
  database.prepare('INSERT INTO note VALUES (?)').run(words);
  database.close();
}

function noteIn(path: string): unknown {
  const database = new BetterSqlite3(path, { fileMustExist: true });
  try {
    expect(database.pragma('integrity_check', { simple: true })).toBe('ok');
    return database.prepare('SELECT text FROM note ORDER BY rowid DESC').pluck().get();
  } finally {
    database.close();
  }
}

describe('a restore that is cut off', () => {
  it.each([
    ['before', 'old, newest'],
    ['after', 'new'],
  ])('%s the one rename leaves a whole database: %s', async (when, expected) => {
    const folder = makeDataFolder();
    const path = join(folder.path, 'proofarm.db');
    try {
      makeDatabase(path, 'old');
      makeDatabase(`${path}.restored`, 'new');
      const dying = fork(child, [path, when]);
      const [code, signal] = (await once(dying, 'exit')) as [number | null, string | null];
      expect({ code, signal }).toEqual({ code: null, signal: 'SIGKILL' });
      expect(noteIn(path)).toBe(expected);
    } finally {
      folder.remove();
    }
  });

  it('is not begun while somebody else has the database open with data in its log', () => {
    const folder = makeDataFolder();
    const path = join(folder.path, 'proofarm.db');
    try {
      makeDatabase(path, 'old');
      makeDatabase(`${path}.restored`, 'new');
      const viewer = new BetterSqlite3(path);
      viewer.exec("BEGIN; INSERT INTO note VALUES ('unfinished')");
      const writer = new BetterSqlite3(path, { readonly: true });
      writer.exec('BEGIN; SELECT * FROM note');
      viewer.exec('COMMIT');
      expect(() => {
        putInPlace(`${path}.restored`, path);
      }).toThrow(/has the database open/);
      writer.close();
      viewer.close();
      expect(noteIn(path)).toBe('unfinished');
      expect(existsSync(`${path}.restored`)).toBe(true);
    } finally {
      folder.remove();
    }
  });
});
