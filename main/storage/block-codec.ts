import { endianness } from 'node:os';
import { brotliCompressSync, brotliDecompressSync, constants, crc32 } from 'node:zlib';
import { AppError } from '../../shared-lib/app-error.ts';
import { decodePlanes, encodePlanes } from '../../shared-lib/signal/block-planes.ts';
import { decodePredicted, encodePredicted } from '../../shared-lib/signal/predicted-counts.ts';
import type { ArrivalMark } from '../../shared-lib/signal/fit-sample-clock.ts';
import { countLostSlots, type SlotRange } from '../../shared-lib/signal/sample-block.ts';
import { decodeNumbers, encodeNumbers } from './number-list-codec.ts';

/**
 * A run of slots of one record. `firstSlot` and the slots of `marks` count from the record's first slot, gaps from the
 * run's. Gaps are in order and apart; arrival times are whole microseconds.
 */
export interface RecordedRun {
  readonly firstSlot: number;
  readonly counts: Int32Array;
  readonly gaps: readonly SlotRange[];
  readonly marks: readonly ArrivalMark[];
}

/** What one row of `raw_block` holds. */
export interface RawBlockColumns {
  readonly first_slot: number;
  readonly slot_count: number;
  readonly lost_slot_count: number;
  readonly codec: number;
  readonly gaps: Uint8Array;
  readonly marks: Uint8Array;
  readonly crc32: number;
  readonly payload: Uint8Array;
}

/** 32-bit little-endian counts: nothing to compute while recording. */
export const LIVE_CODEC = 0;
/** Byte planes of differences, then brotli: small where counts repeat, as of a converter that stands still. */
const PLANES_CODEC = 1;
/** What a forecast from the samples before leaves, in Golomb-Rice codes: small where a signal has noise on it. */
const PREDICTED_CODEC = 2;

/** `packed` is the smaller of the two forms for rows that will be kept. */
export type RowForm = 'live' | 'packed';

/** A higher quality takes two to a hundred times as long and saves one part in a hundred on simulated trials. */
const BROTLI_QUALITY = 5;

export function encodeRun(run: RecordedRun, form: RowForm): RawBlockColumns {
  requireOrderedGaps(run);
  const columns = {
    first_slot: run.firstSlot,
    slot_count: run.counts.length,
    lost_slot_count: countLostSlots(run.gaps),
    gaps: encodeGaps(run.gaps),
    marks: encodeMarks(run.marks, run.firstSlot),
    ...(form === 'live' ? { codec: LIVE_CODEC, payload: toLittleEndian(run.counts) } : pack(run.counts)),
  };
  return { ...columns, crc32: checksumOf(columns) };
}

/**
 * Errors: AppError 'block-corrupt' where the checksum refutes the row, or this version does not know its codec. Nothing
 * of a refuted row is handed out: samples that may be wrong are worse than none.
 */
export function decodeRun(columns: RawBlockColumns, trialId: string): RecordedRun {
  if (checksumOf(columns) !== columns.crc32) throw corrupt(columns, trialId, 'its checksum does not fit');
  const unpack = unpackers.get(columns.codec);
  if (unpack === undefined) {
    throw corrupt(columns, trialId, `it is in a form (${columns.codec}) that this version does not know`);
  }
  try {
    return {
      firstSlot: columns.first_slot,
      counts: unpack(columns.payload, columns.slot_count),
      gaps: decodeGaps(columns.gaps),
      marks: decodeMarks(columns.marks, columns.first_slot),
    };
  } catch (error) {
    throw corrupt(columns, trialId, 'it cannot be unpacked', error);
  }
}

const unpackers: ReadonlyMap<number, (payload: Uint8Array, slotCount: number) => Int32Array> = new Map([
  [LIVE_CODEC, fromLittleEndian],
  [PLANES_CODEC, (payload, slotCount) => decodePlanes(brotliDecompressSync(payload), slotCount)],
  [PREDICTED_CODEC, decodePredicted],
]);

function corrupt(columns: RawBlockColumns, trialId: string, why: string, cause?: unknown): AppError {
  const { first_slot: firstSlot, slot_count: slotCount } = columns;
  return new AppError(
    'block-corrupt',
    `The stored samples ${firstSlot} to ${firstSlot + slotCount - 1} of trial ${trialId} are damaged: ${why}. They are not shown, since they may be wrong; all other trials are untouched. Put back a backup to get them again, or void the trial.`,
    { trialId, firstSlot, slotCount },
    cause,
  );
}

function requireOrderedGaps({ counts, gaps }: RecordedRun): void {
  let end = 0;
  for (const { offset, length } of gaps) {
    if (offset < end || length < 1 || offset + length > counts.length) {
      throw new RangeError(`A gap of ${length} slots at ${offset} does not fit into ${counts.length} slots`);
    }
    end = offset + length;
  }
}

type Checked = Omit<RawBlockColumns, 'crc32'>;

function checksumOf({
  first_slot,
  slot_count,
  lost_slot_count,
  codec,
  gaps,
  marks,
  payload,
}: Checked): number {
  const numbers = [first_slot, slot_count, lost_slot_count, codec, gaps.length, marks.length].join(',');
  return [gaps, marks, payload].reduce((checksum, bytes) => crc32(bytes, checksum), crc32(numbers));
}

function encodeGaps(gaps: readonly SlotRange[]): Uint8Array {
  let end = 0;
  const numbers = gaps.flatMap(({ offset, length }) => {
    const distance = offset - end;
    end = offset + length;
    return [distance, length];
  });
  return encodeNumbers(numbers);
}

function decodeGaps(bytes: Uint8Array): SlotRange[] {
  let end = 0;
  return inPairs(decodeNumbers(bytes)).map(([distance, length]) => {
    const offset = end + distance;
    end = offset + length;
    return { offset, length };
  });
}

/** Arrivals after the first as changes of the interval: blocks come at an even pace, so these are small. */
function encodeMarks(marks: readonly ArrivalMark[], firstSlot: number): Uint8Array {
  let before: ArrivalMark = { slot: firstSlot, arrivalUs: 0 };
  let paceUs = 0;
  const numbers = marks.flatMap((mark, index) => {
    const slots = mark.slot - before.slot;
    const intervalUs = mark.arrivalUs - before.arrivalUs;
    const changeUs = intervalUs - paceUs;
    before = mark;
    paceUs = index === 0 ? 0 : intervalUs;
    return [slots, changeUs];
  });
  return encodeNumbers(numbers);
}

function decodeMarks(bytes: Uint8Array, firstSlot: number): ArrivalMark[] {
  let before: ArrivalMark = { slot: firstSlot, arrivalUs: 0 };
  let paceUs = 0;
  return inPairs(decodeNumbers(bytes)).map(([slots, changeUs], index) => {
    const intervalUs = paceUs + changeUs;
    before = { slot: before.slot + slots, arrivalUs: before.arrivalUs + intervalUs };
    paceUs = index === 0 ? 0 : intervalUs;
    return before;
  });
}

function inPairs(numbers: readonly number[]): [number, number][] {
  if (numbers.length % 2 !== 0) throw new RangeError('A list of pairs has a number too many');
  return Array.from({ length: numbers.length / 2 }, (_, index) => [
    numbers[2 * index] ?? 0,
    numbers[2 * index + 1] ?? 0,
  ]);
}

export function toLittleEndian(counts: Int32Array): Uint8Array {
  const bytes = Buffer.from(counts.slice().buffer);
  return endianness() === 'LE' ? bytes : bytes.swap32();
}

export function fromLittleEndian(bytes: Uint8Array, slotCount: number): Int32Array {
  if (bytes.length !== 4 * slotCount) throw new RangeError(`${bytes.length} bytes for ${slotCount} slots`);
  // A copy starts at an address that 32-bit numbers may lie at.
  const copy = Uint8Array.from(bytes);
  if (endianness() === 'BE') Buffer.from(copy.buffer).swap32();
  return new Int32Array(copy.buffer);
}

function pack(counts: Int32Array): { readonly codec: number; readonly payload: Uint8Array } {
  const predicted = encodePredicted(counts);
  const planes = brotliCompressSync(encodePlanes(counts), {
    params: { [constants.BROTLI_PARAM_QUALITY]: BROTLI_QUALITY },
  });
  return predicted.length < planes.length
    ? { codec: PREDICTED_CODEC, payload: predicted }
    : { codec: PLANES_CODEC, payload: planes };
}
