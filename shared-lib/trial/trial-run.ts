import type { Direction } from './step-model.ts';

/**
 * A recorded trial as the measures see it. Both curves cover the whole record, from before onset into the tail, and
 * are positive in the direction of the step; NaN: no value.
 */
export interface TrialRun {
  /** Raw calibrated samples. */
  readonly rawNm: Float64Array;
  readonly measuringNm: Float64Array;
  /** Length of the measuring curve's window. */
  readonly windowSamples: number;
  /** Position of onset in samples from the record's first one, with fractions. */
  readonly onsetIndex: number;
  readonly plannedS: number;
  /** Rules the length of windows and holds. */
  readonly nominalRateHz: number;
  /** Rules the time axis: sample i lies at (i - onsetIndex) / sampleRateHz seconds. */
  readonly sampleRateHz: number;
}

/** Torque is positive forward; a measure is positive in the direction of its step. */
export function directionSign(direction: Direction): 1 | -1 {
  return direction === 'forward' ? 1 : -1;
}

export interface IndexRange {
  readonly first: number;
  /** Not included. */
  readonly end: number;
}

/** The samples at `fromS` to `toS` after onset, both included, as far as the record reaches. */
export function indicesBetween(run: TrialRun, fromS: number, toS: number): IndexRange {
  const first = Math.max(0, Math.ceil(run.onsetIndex + fromS * run.sampleRateHz));
  const last = Math.floor(run.onsetIndex + toS * run.sampleRateHz);
  return { first, end: Math.max(first, Math.min(run.rawNm.length, last + 1)) };
}

/** The run window: always from onset to the planned time. */
export function runIndices(run: TrialRun): IndexRange {
  return indicesBetween(run, 0, run.plannedS);
}

/** How long after onset the record's last sample lies. */
export function recordedAfterOnsetS(run: TrialRun): number {
  return (run.rawNm.length - 1 - run.onsetIndex) / run.sampleRateHz;
}
