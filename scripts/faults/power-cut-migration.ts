import BetterSqlite3 from 'better-sqlite3';
import { createHash } from 'node:crypto';
import { closeSync, fsyncSync, openSync, readFileSync, writeSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type { ReadableDatabase } from '../../main/storage/database.ts';
import { openDatabase } from '../../main/storage/open-database.ts';
import { readRecording } from '../../main/storage/recording-repository.ts';
import { syncFolder } from '../../main/storage/sync-folder.ts';
import type { Told } from './power-cut.ts';

/** A database of an older form is there, and the program brings it to its own, in a process whose calls are recorded. */
const [dataFolder, marksPath, olderDatabase] = process.argv.slice(2);
if (dataFolder === undefined || marksPath === undefined || olderDatabase === undefined) {
  throw new Error('Needs a folder, a file for marks and a database');
}
const filePath = join(dataFolder, 'proofarm.db');
const file = openSync(filePath, 'w');
writeSync(file, readFileSync(olderDatabase));
fsyncSync(file);
closeSync(file);
syncFolder(dirname(filePath));

const marks = openSync(marksPath, 'a');
const older = new BetterSqlite3(olderDatabase, { readonly: true }) as ReadableDatabase;
const trialIds = older.prepare<[], string>(`SELECT id FROM trial WHERE state = 'kept'`).pluck().all();
for (const trialId of trialIds) {
  const digest = createHash('sha256').update(readRecording(older, trialId).counts).digest('hex');
  const told: Told = { kind: 'kept', trialId, digest };
  writeSync(marks, JSON.stringify(told));
}
older.close();

openDatabase({
  filePath,
  backupFolder: join(dataFolder, 'backups'),
  now: () => new Date(),
  log: { info: () => undefined, warn: () => undefined },
}).close();
