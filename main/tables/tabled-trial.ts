import { createTorqueConverter } from '../../shared-lib/calibration/apply-calibration.ts';
import type { SlotRange } from '../../shared-lib/signal/sample-block.ts';
import { readingCalibrationId } from '../../shared-lib/trial/assignment.ts';
import type { TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import { directionSign } from '../../shared-lib/trial/trial-run.ts';
import { decodeRun, type RawBlockColumns } from '../storage/block-codec.ts';
import { getCalibration } from '../storage/calibration-repository.ts';
import { type ReadableDatabase, reading } from '../storage/database.ts';
import { getTrial } from '../storage/trial-repository.ts';

/** A trial that has ended, and how its counts are read. */
export interface TabledTrial {
  readonly record: TrialRecord;
  /** Seconds from onset: of the figures where there are any, else as it was found live. */
  readonly timeS: (slot: number) => number;
  /**
   * Positive in the direction of the step, by the calibration in force. Null as long as the trial was never kept: nobody
   * looks at its torque before that is decided.
   */
  readonly toTorqueNm: ((counts: number) => number) | null;
}

/** Errors: AppError 'trial-not-found', 'calibration-not-found'. */
export function readTabledTrial(database: ReadableDatabase, trialId: string): TabledTrial {
  const record = getTrial(database, trialId);
  const { conditions, figures } = record;
  const sampleRateHz = figures?.sampleRateHz ?? record.sampleRateHz ?? conditions.profile.nominalRateHz;
  const onsetS = figures?.onsetS ?? record.onsetSlot / sampleRateHz;
  const sign = directionSign(record.summary.step.direction);
  const converter =
    figures === null
      ? null
      : createTorqueConverter({
          calibration: getCalibration(database, readingCalibrationId(record)),
          zeroCounts: conditions.zeroCounts,
          senseSign: conditions.transducer.senseSign,
        });
  return {
    record,
    timeS: (slot) => slot / sampleRateHz - onsetS,
    toTorqueNm: converter === null ? null : (counts) => sign * converter.toTorqueNm(counts),
  };
}

/** Slots that follow one another and were all received. `counts` is a view that holds until the next one is asked for. */
export interface PresentRun {
  readonly firstSlot: number;
  readonly counts: Int32Array;
}

/**
 * All samples of a trial in order, without those that were lost. A stored block at a time, so that an hour at a high rate
 * takes no more memory than a second.
 *
 * Errors: AppError 'block-corrupt' naming the slots.
 */
export function* readPresentRuns(database: ReadableDatabase, trialId: string): Generator<PresentRun> {
  const slots = reading(() =>
    database
      .prepare<[string], number>('SELECT first_slot FROM raw_block WHERE trial_id = ? ORDER BY first_slot')
      .pluck()
      .all(trialId),
  );
  const select = database.prepare<[string, number], RawBlockColumns>(
    `SELECT first_slot, slot_count, lost_slot_count, codec, gaps, marks, crc32, payload FROM raw_block
     WHERE trial_id = ? AND first_slot <= ? ORDER BY first_slot DESC, codec DESC LIMIT 1`,
  );
  let end = 0;
  for (const slot of slots) {
    // Packing may have put a larger row in the place of several while this goes on.
    if (slot < end) continue;
    const columns = reading(() => select.get(trialId, slot));
    if (columns === undefined) throw new Error(`Samples of trial ${trialId} went away while they were read`);
    const run = decodeRun(columns, trialId);
    const skipped = Math.max(0, end - run.firstSlot);
    yield* withoutGaps(run.firstSlot, run.counts, run.gaps, skipped);
    end = run.firstSlot + run.counts.length;
  }
}

function* withoutGaps(
  firstSlot: number,
  counts: Int32Array,
  gaps: readonly SlotRange[],
  skipped: number,
): Generator<PresentRun> {
  let next = skipped;
  for (const { offset, length } of gaps) {
    if (offset > next) yield { firstSlot: firstSlot + next, counts: counts.subarray(next, offset) };
    next = Math.max(next, offset + length);
  }
  if (next < counts.length) yield { firstSlot: firstSlot + next, counts: counts.subarray(next) };
}
