import { isAtRail } from '../signal/converter-rails.ts';
import { STILL_COUNTS, STUCK_S, STUCK_SAMPLES } from '../signal/stuck-limits.ts';
import { indicesBetween, type TrialRun } from './trial-run.ts';

/** A stretch of one and the same count under load. */
export interface StuckReading {
  /** After onset. */
  readonly fromS: number;
  readonly durationS: number;
  /** Positive in the direction of the step. */
  readonly torqueNm: number;
  /** How the counts moved before onset: of one that is still there a torque that merely stands looks alike. */
  readonly atRest: 'still' | 'flickers' | 'unknown';
}

/** Fewer say nothing of how still a reading is. */
const LEAST_REST_SAMPLES = 10;

/**
 * The first stretch of one and the same count, for a second and 50 samples at least, that begins from onset to `untilS` after
 * it and lies beyond the onset level in either direction; null where there is none. At rest a fine transducer may well
 * read one count for ever, and one at the end of the converter's range is told as such. Lost samples are passed over.
 *
 * Shape: `counts` as the run's samples; those of lost ones say nothing.
 */
export function findStuckReading(
  run: TrialRun,
  counts: Int32Array,
  {
    onsetLevelNm,
    untilS,
    converterBits,
  }: { readonly onsetLevelNm: number; readonly untilS: number; readonly converterBits: number },
): StuckReading | null {
  const { rawNm, sampleRateHz, onsetIndex } = run;
  const { first, end } = indicesBetween(run, 0, untilS);
  let start = first;
  let last = first;
  let samples = 0;
  const found = (): StuckReading | null => {
    const durationS = (last - start) / sampleRateHz;
    const torqueNm = rawNm[start] ?? Number.NaN;
    if (samples < STUCK_SAMPLES || durationS < STUCK_S || !(Math.abs(torqueNm) > onsetLevelNm)) return null;
    if (isAtRail(counts[start] ?? 0, converterBits)) return null;
    const fromS = (start - onsetIndex) / sampleRateHz;
    return { fromS, durationS, torqueNm, atRest: stillnessBeforeOnset(run, counts) };
  };
  for (let i = first; i < counts.length; i += 1) {
    if (Number.isNaN(rawNm[i])) continue;
    if (samples > 0 && counts[i] === counts[start]) {
      samples += 1;
      last = i;
      continue;
    }
    const stuck = found();
    if (stuck !== null) return stuck;
    if (i >= end) return null;
    start = i;
    last = i;
    samples = 1;
  }
  return found();
}

/** By the first half of what lies before onset: it is clear of the measuring window and of a slow start. */
function stillnessBeforeOnset({ rawNm, onsetIndex }: TrialRun, counts: Int32Array): StuckReading['atRest'] {
  let least = Number.POSITIVE_INFINITY;
  let greatest = Number.NEGATIVE_INFINITY;
  let samples = 0;
  for (let i = 0; i < Math.floor(onsetIndex / 2); i += 1) {
    const value = counts[i];
    if (value === undefined || Number.isNaN(rawNm[i])) continue;
    samples += 1;
    if (value < least) least = value;
    if (value > greatest) greatest = value;
  }
  if (samples < LEAST_REST_SAMPLES) return 'unknown';
  return greatest - least <= STILL_COUNTS ? 'still' : 'flickers';
}
