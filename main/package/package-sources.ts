import { createHash } from 'node:crypto';
import type { PackageTable } from '../../shared-lib/package/package-table.ts';
import {
  ARRIVALS_HEADER,
  arrivalsFile,
  COUNTS_HEADER,
  countsFile,
  FILE_SAFE_ID,
  photoFile,
} from '../../shared-lib/package/package-tables.ts';
import { type StoredValue, tableHeader, tableLine } from '../../shared-lib/package/write-table.ts';
import { writeCountsCsv } from '../../shared-lib/tables/write-counts-csv.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import { readRecording } from '../storage/recording-repository.ts';
import type { WorkTools } from '../work/work-tools.ts';
import { selectChosen } from './choose-rows.ts';
import { textPieces } from './file-stream.ts';

/** Slots that are written at once: some tens of milliseconds. */
const SLOTS_PER_PIECE = 262_144;

/** A table with its header, line by line as it is read. */
export function* tableLines(
  database: ReadableDatabase,
  table: PackageTable,
  withPhotos: boolean,
): Generator<string> {
  yield tableHeader(table.columns);
  if (table.name === 'tool_photo' && !withPhotos) return;
  const select = database.prepare<[], Record<string, StoredValue>>(selectChosen(table));
  for (const row of select.iterate()) {
    yield tableLine(table.columns, row, (bytes) => Buffer.from(bytes).toString('base64'));
  }
}

export interface SamplesOfTrial {
  readonly countsPath: string;
  readonly counts: () => AsyncIterable<Uint8Array>;
  readonly arrivalsPath: string;
  readonly arrivals: () => AsyncIterable<Uint8Array>;
}

/** The samples of every chosen trial, each read when its turn comes. Tells how far the package is. */
export function samplesOf(database: ReadableDatabase, tools: WorkTools): readonly SamplesOfTrial[] {
  const trials = database
    .prepare<[], { trialId: string; slots: number }>(
      `SELECT key AS trialId,
         coalesce((SELECT sum(slot_count) FROM raw_block WHERE trial_id = key), 0) AS slots
       FROM chosen_trial ORDER BY key`,
    )
    .all();
  const allSlots = trials.reduce((sum, { slots }) => sum + slots, 0);
  let written = 0;
  return trials.map(({ trialId }, index) => {
    if (!FILE_SAFE_ID.test(trialId)) throw new Error(`${trialId} cannot be the name of a file`);
    return samplesOfTrial(database, trialId, async (slots) => {
      written += slots;
      tools.progress(
        allSlots === 0 ? 1 : written / allSlots,
        `Samples of trial ${index + 1} of ${trials.length}.`,
      );
      await tools.pause();
    });
  });
}

/** `onWritten` is awaited after every piece of counts. */
export function samplesOfTrial(
  database: ReadableDatabase,
  trialId: string,
  onWritten: (slots: number) => Promise<void>,
): SamplesOfTrial {
  return {
    countsPath: countsFile(trialId),
    counts: () => countsPieces(database, trialId, onWritten),
    arrivalsPath: arrivalsFile(trialId),
    arrivals: () => textPieces(arrivalLines(database, trialId), () => onWritten(0)),
  };
}

export async function sha256Of(pieces: AsyncIterable<Uint8Array>): Promise<string> {
  const hash = createHash('sha256');
  for await (const piece of pieces) hash.update(piece);
  return hash.digest('hex');
}

async function* countsPieces(
  database: ReadableDatabase,
  trialId: string,
  onWritten: (slots: number) => Promise<void>,
): AsyncGenerator<Uint8Array> {
  const { counts, gaps } = readRecording(database, trialId);
  yield Buffer.from(COUNTS_HEADER);
  for (let first = 0; first < counts.length; first += SLOTS_PER_PIECE) {
    const end = Math.min(first + SLOTS_PER_PIECE, counts.length);
    yield writeCountsCsv(counts, gaps, { first, end });
    await onWritten(end - first);
  }
}

function* arrivalLines(database: ReadableDatabase, trialId: string): Generator<string> {
  yield ARRIVALS_HEADER;
  for (const { slot, arrivalUs } of readRecording(database, trialId).marks) yield `${slot},${arrivalUs}\r\n`;
}

interface PhotoFile {
  readonly path: string;
  readonly description: string | null;
  readonly schema: null;
  readonly pieces: () => AsyncIterable<Uint8Array>;
}

export function photosOf(database: ReadableDatabase): readonly PhotoFile[] {
  return database
    .prepare<[], { id: string; mediaType: string; caption: string }>(
      'SELECT id, media_type AS mediaType, caption FROM tool_photo JOIN chosen_tool_photo ON key = id ORDER BY id',
    )
    .all()
    .map(({ id, mediaType, caption }) => ({
      path: photoFile(id, mediaType),
      description: caption === '' ? null : caption,
      schema: null,
      pieces: () => photoPieces(database, id),
    }));
}

// eslint-disable-next-line @typescript-eslint/require-await -- one piece, read when its turn comes
async function* photoPieces(database: ReadableDatabase, photoId: string): AsyncGenerator<Uint8Array> {
  const bytes = database
    .prepare<[string], Uint8Array>('SELECT bytes FROM tool_photo WHERE id = ?')
    .pluck()
    .get(photoId);
  if (bytes) yield bytes;
}
