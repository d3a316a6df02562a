import BetterSqlite3 from 'better-sqlite3';
import { parentPort, workerData } from 'node:worker_threads';
import type { WritableDatabase } from './database.ts';
import { performRecordingCommand } from './recording-commands.ts';
import { toCarriedError, type WriterReply, type WriterRequest } from './recording-protocol.ts';
import { translateStorageError } from './storage-errors.ts';

/** Longer than main or a viewer ever holds the database; what another program holds longer ends the trial. */
const BUSY_TIMEOUT_MS = 5000;

/** The entry of the thread that writes recordings, with a connection of its own. No serialport here, see DEVELOPERS.md. */
const port = parentPort;
if (!port) throw new Error('This file is started as a worker thread');
const { databasePath } = workerData as { readonly databasePath: string };
let database: WritableDatabase | null = null;

/** Main has made or migrated the file by now. Opened with the first command, so that a failure has an answer. */
function openForRecording(): WritableDatabase {
  let opened: BetterSqlite3.Database | null = null;
  try {
    opened = new BetterSqlite3(databasePath, { timeout: BUSY_TIMEOUT_MS, fileMustExist: true });
    opened.pragma('journal_mode = WAL');
    opened.pragma('synchronous = FULL');
    opened.pragma('foreign_keys = ON');
    return opened as WritableDatabase;
  } catch (error) {
    opened?.close();
    throw translateStorageError(error);
  }
}

function answer({ id, command }: WriterRequest): WriterReply {
  try {
    database ??= openForRecording();
    return { id, result: performRecordingCommand(database, command) };
  } catch (error) {
    return { id, error: toCarriedError(error) };
  }
}

port.on('message', (request: WriterRequest) => {
  port.postMessage(answer(request));
});
