import { refusedForGaps, refusedForRecord } from './refuse-measure.ts';
import type { Measure } from './trial-model.ts';
import { recordedAfterOnsetS, runIndices, type TrialRun } from './trial-run.ts';

/**
 * Impulse: the integral of the raw calibrated curve from onset to the planned time, in N m s, by the trapezoid rule. Between
 * samples, and across lost ones, it goes along the straight line; so does the part of an interval at either end.
 *
 * Refused where the record ends earlier, or where so much is lost that the measuring curve has a gap in the run: a straight
 * line over that would be a guess. No standard error: noise adds next to nothing to an integral of seconds. For study, not for
 * comparing tools: a longer pull has more of it.
 */
export function impulseNms(run: TrialRun): Measure {
  if (recordedAfterOnsetS(run) < run.plannedS) return refusedForRecord('Impulse', run);
  const { first, end } = runIndices(run);
  for (let i = first; i < end; i += 1) {
    if (Number.isNaN(run.measuringNm[i])) return refusedForGaps('Impulse');
  }
  const from = run.onsetIndex;
  const to = run.onsetIndex + run.plannedS * run.sampleRateHz;
  const { rawNm } = run;
  let areaNmSamples = 0;
  let before = presentAtOrBefore(rawNm, Math.floor(from));
  if (before < 0) return refusedForGaps('Impulse');
  for (let i = before + 1; i < rawNm.length && before < to; i += 1) {
    const value = rawNm[i] ?? Number.NaN;
    if (Number.isNaN(value)) continue;
    const valueBefore = rawNm[before] ?? Number.NaN;
    const [left, right] = [Math.max(from, before), Math.min(to, i)];
    const middle = (left + right) / 2 - before;
    areaNmSamples += (right - left) * (valueBefore + ((value - valueBefore) / (i - before)) * middle);
    before = i;
  }
  // Of a last interval that no sample ends, the one at its beginning stands.
  if (before < to) areaNmSamples += (to - Math.max(before, from)) * (rawNm[before] ?? Number.NaN);
  return { value: areaNmSamples / run.sampleRateHz };
}

/** -1: none. */
function presentAtOrBefore(values: Float64Array, index: number): number {
  let i = index;
  while (i >= 0 && Number.isNaN(values[i])) i -= 1;
  return i;
}
