import { AppError } from '../../shared-lib/app-error.ts';
import { decodeRun, encodeRun, LIVE_CODEC, type RawBlockColumns, type RecordedRun } from './block-codec.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';
import { joinRuns } from './recorded-runs.ts';
import { insertRawBlock, trialNotFound } from './recording-repository.ts';

/** Slots in a packed row, at least: enough for the compressor, few enough to pack in some tens of milliseconds. */
const PACKED_SLOTS = 65_536;

/** Trials that have ended and still have rows as they were recorded: the program ended before they were packed. */
export function listUnpacked(database: ReadableDatabase): string[] {
  return reading(() =>
    database
      .prepare<[], string>(
        `SELECT DISTINCT trial_id FROM raw_block JOIN trial ON trial.id = trial_id
         WHERE codec = ${LIVE_CODEC} AND state <> 'recording'`,
      )
      .pluck()
      .all(),
  );
}

/** Rewrites the rows of an ended trial as few large compressed ones, without losing anything of them. */
export function repackTrial(database: WritableDatabase, trialId: string): void {
  let hasMore = true;
  while (hasMore) hasMore = repackNextRun(database, trialId);
}

/**
 * One step of it: between steps other work gets its turn, and a trial that is packed in part reads the same. Only the
 * exchange of the rows is a transaction, so that nobody waits for the compressor; rows of an ended trial do not change.
 * False: nothing was left to pack.
 */
export function repackNextRun(database: WritableDatabase, trialId: string): boolean {
  const rows = reading(() => {
    requireEnded(database, trialId);
    return selectNextLiveRows(database, trialId);
  });
  if (rows.length === 0) return false;
  const runs = rows.map((columns) => decodeRun(columns, trialId));
  const joined = joinRuns(runs, runs[0]?.firstSlot ?? 0);
  const packed = encodeRun(joined, 'packed');
  requireEqual(decodeRun(packed, trialId), joined);
  writing(database, () => {
    insertRawBlock(database, trialId, packed);
    database
      .prepare(
        `DELETE FROM raw_block WHERE trial_id = ? AND codec = ${LIVE_CODEC} AND first_slot BETWEEN ? AND ?`,
      )
      .run(trialId, packed.first_slot, packed.first_slot + packed.slot_count - 1);
  });
  return true;
}

function requireEnded(database: ReadableDatabase, trialId: string): void {
  const state = database
    .prepare<[string], string>('SELECT state FROM trial WHERE id = ?')
    .pluck()
    .get(trialId);
  if (state === undefined) throw trialNotFound(trialId);
  if (state !== 'recording') return;
  throw new AppError(
    'trial-not-finished',
    'This trial is still being recorded. Nothing was changed. Try again when it has ended.',
    { trialId },
  );
}

/** Rows that follow one another without a slot between them, until there are enough. */
function selectNextLiveRows(database: ReadableDatabase, trialId: string): RawBlockColumns[] {
  const rows: RawBlockColumns[] = [];
  let slots = 0;
  const all = database
    .prepare<[string], RawBlockColumns>(
      `SELECT first_slot, slot_count, lost_slot_count, codec, gaps, marks, crc32, payload FROM raw_block
       WHERE trial_id = ? AND codec = ${LIVE_CODEC} ORDER BY first_slot`,
    )
    .iterate(trialId);
  for (const row of all) {
    const before = rows.at(-1);
    if (before && before.first_slot + before.slot_count !== row.first_slot) break;
    rows.push(row);
    slots += row.slot_count;
    if (slots >= PACKED_SLOTS) break;
  }
  return rows;
}

/** The rows it was made from are about to go: what comes out must be what went in. */
export function requireEqual(unpacked: RecordedRun, source: RecordedRun): void {
  const isEqual =
    unpacked.firstSlot === source.firstSlot &&
    unpacked.counts.length === source.counts.length &&
    unpacked.counts.every((count, index) => count === source.counts[index]) &&
    JSON.stringify([unpacked.gaps, unpacked.marks]) === JSON.stringify([source.gaps, source.marks]);
  if (!isEqual) throw new Error(`Packing changed the samples from slot ${source.firstSlot} on`);
}
