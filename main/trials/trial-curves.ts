import { setImmediate } from 'node:timers/promises';
import type { RequestParams, RequestResult } from '../../shared-lib/api-contract.ts';
import { createTorqueConverter } from '../../shared-lib/calibration/apply-calibration.ts';
import { displayCurve } from '../../shared-lib/signal/butterworth.ts';
import {
  type CurveCells,
  foldIntoCells,
  meansAround,
  reduceCells,
} from '../../shared-lib/signal/curve-cells.ts';
import { measuringWindowSamples } from '../../shared-lib/signal/measuring-curve.ts';
import { windowFigures } from '../../shared-lib/trial/window-figures.ts';
import { readingCalibrationId } from '../../shared-lib/trial/assignment.ts';
import type { TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import type { WorkInPieces } from '../../shared-lib/work-in-pieces.ts';
import { decodeRun } from '../storage/block-codec.ts';
import { getCalibration } from '../storage/calibration-repository.ts';
import { type ReadableDatabase, reading } from '../storage/database.ts';
import { selectRawBlocks } from '../storage/recording-repository.ts';
import { getTrial } from '../storage/trial-repository.ts';

export interface TrialCurves {
  /** Errors: AppError 'trial-not-found'; 'block-corrupt' naming the slots. */
  curve(request: RequestParams<'getTrialCurve'>): Promise<RequestResult<'getTrialCurve'>>;
  /** Torque in N·m of every slot of the record, NaN where it was lost; nobody may write to it. Errors: 'block-corrupt'. */
  torques(record: TrialRecord): Promise<{ readonly cells: CurveCells; readonly sampleRateHz: number }>;
}

/** As many as the Bench shows at once; who looks closer at one asks for the same again and again. */
const MOST_KEPT_TRIALS = 4;
/** 32 MiB of torques; one trial is kept however long it is. */
const MOST_KEPT_SAMPLES = 4 * 2 ** 20;
/** After that nobody is looking any more. */
const KEPT_FOR_MS = 5 * 60_000;

interface UnpackedCurve {
  readonly key: string;
  readonly samples: number;
  readonly cells: Promise<CurveCells>;
  /** Undefined: not asked for so far; null: there is none at this rate. */
  displayNm: Float64Array | null | undefined;
}

/**
 * Curves of stored trials ready to draw, in as many bins as asked for. Torques of the trials looked at last are kept, with what
 * each cell of them comes to, so that looking closer costs what is drawn and not what is stored.
 *
 * Unpacking gives the turn back after every row, since the bench waits for the same thread.
 */
export function createTrialCurves(
  database: ReadableDatabase,
  sampleRateHz: (record: TrialRecord) => number,
): TrialCurves {
  /** The one looked at last is the last. */
  let kept: readonly UnpackedCurve[] = [];
  let forgetting: NodeJS.Timeout | undefined;

  const unpacked = (record: TrialRecord): UnpackedCurve => {
    const key = keyOf(record);
    const known = kept.find((one) => one.key === key);
    const curve: UnpackedCurve = known ?? {
      key,
      samples: record.slotCount,
      cells: inPieces(unpackCells(database, record)),
      displayNm: undefined,
    };
    // Of a trial under way there is more in a moment.
    if (record.summary.state !== 'recording') keep(curve);
    return curve;
  };
  const keep = (curve: UnpackedCurve): void => {
    kept = newestThatFit([...kept.filter((one) => one !== curve), curve]);
    clearTimeout(forgetting);
    forgetting = setTimeout(() => {
      kept = [];
    }, KEPT_FOR_MS).unref();
  };
  const cellsOf = async (curve: UnpackedCurve): Promise<CurveCells> => {
    try {
      return await curve.cells;
    } catch (error) {
      // What could not be read is read again the next time: a backup may have been put back.
      kept = kept.filter((one) => one !== curve);
      throw error;
    }
  };

  return {
    async torques(record) {
      const rateHz = sampleRateHz(record);
      return { cells: await cellsOf(unpacked(record)), sampleRateHz: rateHz };
    },

    async curve({ trialId, fromS, toS, bins, withDisplay, withFigures }) {
      const record = getTrial(database, trialId);
      const rateHz = sampleRateHz(record);
      const curve = unpacked(record);
      const cells = await cellsOf(curve);
      const { values: torqueNm } = cells;
      const timeS = (slot: number): number => (slot - record.onsetSlot) / rateHz;
      const slotAt = (atS: number | null, otherwise: number): number =>
        atS === null
          ? otherwise
          : Math.min(torqueNm.length, Math.max(0, Math.round(atS * rateHz + record.onsetSlot)));
      const fromSlot = slotAt(fromS, 0);
      const toSlot = Math.max(fromSlot, slotAt(toS, torqueNm.length));
      const binCount = Math.max(1, Math.min(bins, toSlot - fromSlot));
      const raw = reduceCells(cells, fromSlot, toSlot, binCount);
      if (withDisplay !== false && curve.displayNm === undefined)
        curve.displayNm = displayCurve(torqueNm, rateHz);
      const displayNm = withDisplay === false ? null : (curve.displayNm ?? null);
      const windowSamples = measuringWindowSamples(record.conditions.profile.nominalRateHz);
      const picked = everyNth(fromSlot, toSlot, bins);
      const figuresBetween = (firstS: number, lastS: number) => ({
        fromS: firstS,
        toS: lastS,
        ...windowFigures({ cells, onsetSlot: record.onsetSlot, sampleRateHz: rateHz }, firstS, lastS),
      });
      const startS = timeS(0);
      const endS = timeS(torqueNm.length - 1);
      // Until the trial has been kept, nobody is to pick results by them.
      const isShown = withFigures === true && record.figures !== null;
      return {
        trialId,
        sampleRateHz: rateHz,
        startS,
        endS,
        binStartS: timeS(fromSlot),
        binWidthS: (toSlot - fromSlot) / binCount / rateHz,
        minNm: raw.min,
        maxNm: raw.max,
        displayNm: displayNm ? picked.map((slot) => displayNm[slot] ?? Number.NaN) : nothing(),
        displayTimeS: displayNm ? picked.map(timeS) : nothing(),
        measuringNm: windowSamples === null ? nothing() : meansAround(cells, picked, windowSamples),
        measuringTimeS: windowSamples === null ? nothing() : picked.map(timeS),
        ...(isShown ? { figures: figuresBetween(fromS ?? startS, toS ?? endS) } : {}),
      };
    },
  };
}

/** Everything that its torques follow from. */
function keyOf({ summary, slotCount, lostSlots, conditions, ...record }: TrialRecord): string {
  return JSON.stringify([
    summary.id,
    slotCount,
    lostSlots,
    readingCalibrationId({ conditions, ...record }),
    conditions.zeroCounts,
    conditions.transducer.senseSign,
  ]);
}

function newestThatFit(curves: readonly UnpackedCurve[]): UnpackedCurve[] {
  const fitting: UnpackedCurve[] = [];
  let samples = 0;
  for (const curve of curves.toReversed()) {
    samples += curve.samples;
    if (fitting.length === MOST_KEPT_TRIALS || (fitting.length > 0 && samples > MOST_KEPT_SAMPLES)) break;
    fitting.unshift(curve);
  }
  return fitting;
}

function* unpackCells(database: ReadableDatabase, record: TrialRecord): WorkInPieces<CurveCells> {
  const trialId = record.summary.id;
  const converter = createTorqueConverter({
    calibration: getCalibration(database, readingCalibrationId(record)),
    zeroCounts: record.conditions.zeroCounts,
    senseSign: record.conditions.transducer.senseSign,
  });
  // All rows at once: between two looks the packer may have put others in their place.
  const rows = reading(() => selectRawBlocks(database, trialId));
  const last = rows.at(-1);
  const torqueNm = new Float64Array(last ? last.first_slot + last.slot_count : 0);
  let end = 0;
  for (const columns of rows) {
    const { firstSlot, counts, gaps } = decodeRun(columns, trialId);
    if (firstSlot < end) throw new RangeError(`The run at slot ${firstSlot} overlaps the one before it`);
    torqueNm.fill(Number.NaN, end, firstSlot);
    end = firstSlot + counts.length;
    converter.convertBlock(counts, gaps, torqueNm.subarray(firstSlot, end));
    yield;
  }
  return yield* foldIntoCells(torqueNm);
}

async function inPieces<Result>(work: WorkInPieces<Result>): Promise<Result> {
  let piece = work.next();
  while (piece.done !== true) {
    await setImmediate();
    piece = work.next();
  }
  return piece.value;
}

/** Evenly spaced slots of a smooth curve, at most so many: what is smooth over 20 ms needs no extremes. */
function everyNth(fromSlot: number, toSlot: number, most: number): Float64Array {
  const count = Math.max(1, Math.min(most, toSlot - fromSlot));
  const stride = (toSlot - fromSlot) / count;
  return Float64Array.from({ length: count }, (_, index) => Math.floor(fromSlot + index * stride));
}

function nothing(): Float64Array {
  return new Float64Array(0);
}
