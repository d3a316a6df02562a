import type { TrialRun } from './trial-run.ts';

/** The measuring curve at a time after onset, on the straight line between the two samples around it; NaN: no value. */
export function measuringNmAt(run: TrialRun, atS: number): number {
  const position = run.onsetIndex + atS * run.sampleRateHz;
  const index = Math.floor(position);
  const share = position - index;
  const before = run.measuringNm[index] ?? Number.NaN;
  const after = share === 0 ? before : (run.measuringNm[index + 1] ?? Number.NaN);
  return before + share * (after - before);
}

export interface CurveInstants {
  /** After onset. */
  readonly timesS: Float64Array;
  readonly torqueNm: Float64Array;
  /** How many neighbouring instants share the samples of one measuring window; at least 1. */
  readonly sharing: number;
}

/** At fewer of the instants asked for, a curve does not carry a measure (ours). */
const LEAST_SHARE = 0.5;

/**
 * The measuring curve at `count` evenly spaced instants from `fromS` to `toS` after onset, both included; instants without a
 * value are left out. Null where fewer than half have one.
 */
export function evenInstants(run: TrialRun, fromS: number, toS: number, count: number): CurveInstants | null {
  const spacingS = (toS - fromS) / (count - 1);
  const times = Float64Array.from({ length: count }, (_, index) => fromS + index * spacingS);
  const torques = times.map((atS) => measuringNmAt(run, atS));
  const isThere = (_: number, index: number): boolean => !Number.isNaN(torques[index]);
  const torqueNm = torques.filter(isThere);
  if (torqueNm.length < LEAST_SHARE * count) return null;
  return {
    timesS: times.filter(isThere),
    torqueNm,
    sharing: Math.max(1, run.windowSamples / run.nominalRateHz / spacingS),
  };
}
