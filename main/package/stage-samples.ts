import {
  ARRIVALS_HEADER,
  arrivalsFile,
  COUNTS_HEADER,
  countsFile,
  tableFile,
} from '../../shared-lib/package/package-tables.ts';
import { createPairReader, UnreadableLine } from '../../shared-lib/package/pair-reader.ts';
import type { ArrivalMark } from '../../shared-lib/signal/fit-sample-clock.ts';
import type { SlotRange } from '../../shared-lib/signal/sample-block.ts';
import { decodeRun, encodeRun, type RecordedRun } from '../storage/block-codec.ts';
import { insertRawBlock } from '../storage/recording-repository.ts';
import { requireEqual } from '../storage/repack-trial.ts';
import { translateStorageError } from '../storage/storage-errors.ts';
import { readListed } from './package-file.ts';
import { invalidPackage, readingProblem } from './package-problem.ts';
import type { Reading } from './stage-tables.ts';

/** As trials of this bench are packed. */
const SLOTS_PER_ROW = 65_536;
/** A record has no more, see decision 46. */
const MOST_SLOTS = 2 ** 25;
const MOST_COUNT = 2 ** 31;
const MOST_US = 2 ** 51;

/**
 * Reads the samples of a trial, holds them against their files' SHA-256, and hands them out as runs; with `isKept` the runs are packed
 * into the staging database, and each is unpacked again and compared before.
 *
 * Errors: AppError 'package-invalid' with file and line.
 */
export async function stageSamples(
  reading: Reading,
  trial: { readonly id: string; readonly slotCount: number },
  isKept: boolean,
): Promise<void> {
  const { id, slotCount } = trial;
  if (slotCount < 0 || slotCount > MOST_SLOTS) {
    throw invalidPackage(
      tableFile('trial'),
      null,
      `slot_count of trial ${id} is ${slotCount}; a record has up to ${MOST_SLOTS}.`,
    );
  }
  const marks = await readMarks(reading, id);
  if (slotCount === 0 && marks.length > 0) {
    throw invalidPackage(arrivalsFile(id), 2, 'The record has no slots, and so nothing can have arrived.');
  }
  const cutter = createRunCutter(slotCount, marks, (run) => {
    if (!isKept) return;
    const packed = encodeRun(run, 'packed');
    requireEqual(decodeRun(packed, id), run);
    insertRawBlock(reading.staging, id, packed);
  });
  const path = countsFile(id);
  const pairs = createPairReader(COUNTS_HEADER, (slot, counts, line) => {
    if (counts < -MOST_COUNT || counts >= MOST_COUNT) {
      throw new UnreadableLine(line, `${counts} are more counts than 32 bits hold.`);
    }
    if (slot >= slotCount) {
      throw new UnreadableLine(
        line,
        `Slot ${slot} lies behind the end of the record, which has ${slotCount}.`,
      );
    }
    if (!cutter.add(slot, counts)) {
      throw new UnreadableLine(line, `Slot ${slot} does not come after the one before it.`);
    }
  });
  await readThrough(reading, path, (piece) => {
    pairs.push(piece);
  });
  try {
    pairs.end();
    cutter.end();
  } catch (error) {
    throw translateStorageError(readingProblem(path, error));
  }
}

async function readMarks(reading: Reading, trialId: string): Promise<ArrivalMark[]> {
  const path = arrivalsFile(trialId);
  const marks: ArrivalMark[] = [];
  const pairs = createPairReader(ARRIVALS_HEADER, (slot, arrivalUs, line) => {
    if (slot < 0 || slot > MOST_SLOTS || Math.abs(arrivalUs) >= MOST_US) {
      throw new UnreadableLine(line, 'Slot or time is not possible.');
    }
    if (marks.length >= MOST_SLOTS) throw new UnreadableLine(line, 'More arrived than a record has slots.');
    marks.push({ slot, arrivalUs });
  });
  await readThrough(reading, path, (piece) => {
    pairs.push(piece);
  });
  try {
    pairs.end();
  } catch (error) {
    throw readingProblem(path, error);
  }
  return marks;
}

async function readThrough(
  { file, files, onRead }: Reading,
  path: string,
  take: (piece: Uint8Array) => void,
): Promise<void> {
  const listed = files.get(path);
  if (!listed) throw invalidPackage(path, null, 'The file is missing, and its trial is in the package.');
  for await (const piece of readListed(file, listed)) {
    try {
      take(piece);
    } catch (error) {
      throw translateStorageError(readingProblem(path, error));
    }
    await onRead(piece.length);
  }
}

/** Cuts slots that come in order into runs of a fixed length; what is missing between them becomes gaps. */
function createRunCutter(
  slotCount: number,
  marks: readonly ArrivalMark[],
  onRun: (run: RecordedRun) => void,
): { add(slot: number, counts: number): boolean; end(): void } {
  let firstSlot = 0;
  let counts = new Int32Array(Math.min(SLOTS_PER_ROW, slotCount));
  let gaps: SlotRange[] = [];
  let next = 0;
  let nextMark = 0;

  const finish = (): void => {
    const end = firstSlot + counts.length;
    skipTo(end);
    const isLast = end === slotCount;
    const from = nextMark;
    while (nextMark < marks.length && (isLast || (marks[nextMark]?.slot ?? 0) < end)) nextMark += 1;
    onRun({ firstSlot, counts, gaps, marks: marks.slice(from, nextMark) });
    firstSlot = end;
    counts = new Int32Array(Math.min(SLOTS_PER_ROW, slotCount - end));
    gaps = [];
  };
  const skipTo = (slot: number): void => {
    if (slot > next) gaps.push({ offset: next - firstSlot, length: slot - next });
    next = slot;
  };

  return {
    add(slot, value) {
      if (slot < next) return false;
      while (slot >= firstSlot + counts.length) finish();
      skipTo(slot);
      counts[slot - firstSlot] = value;
      next = slot + 1;
      return true;
    },
    end() {
      while (firstSlot < slotCount) finish();
    },
  };
}
