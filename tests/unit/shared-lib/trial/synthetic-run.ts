import { measuringCurve, measuringWindowSamples } from '../../../../shared-lib/signal/measuring-curve.ts';
import type { TrialRun } from '../../../../shared-lib/trial/trial-run.ts';

export interface SyntheticRun {
  readonly rateHz: number;
  readonly plannedS: number;
  /** Torque against time; the record runs from -1 s to the planned time plus 1 s. */
  readonly torqueNm: (timeS: number) => number;
  /** When time 0 of the measures is. */
  readonly onsetS: number;
}

/** Sample i lies at i / rate - 1 s. */
export function sampleRecord({ rateHz, plannedS, torqueNm }: Omit<SyntheticRun, 'onsetS'>): Float64Array {
  return Float64Array.from({ length: Math.round((plannedS + 2) * rateHz) + 1 }, (_, i) =>
    torqueNm((i - rateHz) / rateHz),
  );
}

export function synthesise(run: SyntheticRun): TrialRun {
  const { rateHz, plannedS, onsetS } = run;
  const windowSamples = measuringWindowSamples(rateHz);
  if (windowSamples === null) throw new Error(`There is no measuring curve at ${rateHz} Sa/s.`);
  const rawNm = sampleRecord(run);
  return {
    rawNm,
    measuringNm: measuringCurve(rawNm, windowSamples),
    windowSamples,
    onsetIndex: (onsetS + 1) * rateHz,
    plannedS,
    nominalRateHz: rateHz,
    sampleRateHz: rateHz,
  };
}

/** Seeded noise, near enough normal: the sum of twelve uniform numbers has a standard deviation of 1. */
export function createNoise(seed: number): () => number {
  let state = seed;
  const uniform = (): number => {
    state = (state * 48_271) % 2_147_483_647;
    return state / 2_147_483_647;
  };
  return () => {
    let sum = -6;
    for (let i = 0; i < 12; i += 1) sum += uniform();
    return sum;
  };
}
