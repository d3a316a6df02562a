import { formatDuration } from '../format-quantity.ts';
import { measuringNmAt } from './curve-instants.ts';
import { createHeldCrossing, crossingHoldSamples } from './held-crossing.ts';
import { MIN_WINDOW_SAMPLES, refusedForLength, refusedForRate, refusedForRecord } from './refuse-measure.ts';
import type { Measure } from './trial-model.ts';
import { indicesBetween, recordedAfterOnsetS, runIndices, type TrialRun } from './trial-run.ts';

/**
 * What a trial measures. Every function here is a definition; a change in any of them takes a new definition version.
 * A measure that the curve cannot carry is refused with the reason, never estimated.
 */
const SUSTAINED_HOLD_S = 0.25;
const FINAL_WINDOW_S = 0.5;
/** Final torque's standard error rests on so many tenths of a second. */
const FINAL_BATCHES = 5;

export const CHECKPOINTS_S: readonly number[] = [1, 2, 3, 5, 10, 15];

/**
 * Sustained torque, the headline: the highest level that the measuring curve held for 250 ms within the run window. That
 * is the greatest, over all stretches of round(0.25 R) consecutive values without a NaN, of the stretch's least value.
 * N m. No standard error: the greatest of least values has none that a single run could show; the spread between runs is it.
 */
export function sustainedTorqueNm(run: TrialRun): Measure {
  const holdSamples = Math.round(SUSTAINED_HOLD_S * run.nominalRateHz);
  if (holdSamples < MIN_WINDOW_SAMPLES) return refusedForRate('Sustained torque', SUSTAINED_HOLD_S, run);
  const { first, end } = runIndices(run);
  const value = greatestHeldLevel(run.measuringNm, first, end, holdSamples);
  if (value !== null) return { value };
  return {
    refused: 'Sustained torque needs 250 ms of the run without a gap in the measuring curve; there are none.',
  };
}

/**
 * Final torque: the mean of the raw calibrated samples in the last half second of the planned time, lost ones left out. N m.
 *
 * Its standard error is by batch means: neighbouring samples are not independent, since blows and the rig's ringing go
 * through many of them, so the half second is cut into five tenths, and the scatter of their means about a straight line
 * (three degrees of freedom; a torque that still climbs is no chance) over the root of five is it. What sways more slowly
 * than a tenth of a second is not in it. Left out where a tenth has no sample.
 */
export function finalTorqueNm(run: TrialRun): Measure {
  if (FINAL_WINDOW_S * run.nominalRateHz < MIN_WINDOW_SAMPLES) {
    return refusedForRate('Final torque', FINAL_WINDOW_S, run);
  }
  if (run.plannedS < FINAL_WINDOW_S) return refusedForLength('Final torque', FINAL_WINDOW_S, run);
  if (recordedAfterOnsetS(run) < run.plannedS) return refusedForRecord('Final torque', run);
  const { first, end } = indicesBetween(run, run.plannedS - FINAL_WINDOW_S, run.plannedS);
  const batches = Array.from({ length: FINAL_BATCHES }, () => ({ sumNm: 0, sampleCount: 0 }));
  for (let i = first; i < end; i += 1) {
    const torqueNm = run.rawNm[i] ?? Number.NaN;
    const batch = batches[Math.floor((FINAL_BATCHES * (i - first)) / (end - first))];
    if (Number.isNaN(torqueNm) || batch === undefined) continue;
    batch.sumNm += torqueNm;
    batch.sampleCount += 1;
  }
  const sampleCount = batches.reduce((sum, batch) => sum + batch.sampleCount, 0);
  if (sampleCount < MIN_WINDOW_SAMPLES) {
    return {
      refused: `Final torque needs at least ${MIN_WINDOW_SAMPLES} samples in the last half second; ${sampleCount} arrived.`,
    };
  }
  const value = batches.reduce((sum, batch) => sum + batch.sumNm, 0) / sampleCount;
  if (batches.some((batch) => batch.sampleCount === 0)) return { value };
  return { value, standardError: errorOfBatchMeans(batches.map((batch) => batch.sumNm / batch.sampleCount)) };
}

/**
 * Torque at a time after onset: the measuring curve there, on the straight line between the two samples around it. N m. No
 * standard error: one window of samples that blows tie to each other does not show one.
 */
export function torqueAtNm(run: TrialRun, atS: number): Measure {
  if (recordedAfterOnsetS(run) < atS) return refusedForRecord(`Torque at ${formatDuration(atS, 0)}`, run);
  const value = measuringNmAt(run, atS);
  if (!Number.isNaN(value)) return { value };
  return {
    refused: `At ${formatDuration(atS, 0)} less than half of the samples of the measuring window are there.`,
  };
}

/**
 * Time to level: the first time in the run window at which the measuring curve reaches a torque and holds it for
 * max(100 ms, 5 samples), interpolated between samples; null where it does not. A level up to that of onset is reached
 * at 0.
 */
export function timeToLevelS(run: TrialRun, levelNm: number): number | null {
  const holdSamples = crossingHoldSamples(run.nominalRateHz);
  const crossing = createHeldCrossing({ levelNm, holdSamples, mode: 'reaching' });
  // The sample just before onset only serves to interpolate up to the first one after it.
  const start = Math.floor(run.onsetIndex);
  const { end } = runIndices(run);
  for (let i = start; i < end; i += 1) {
    const position = crossing.push(i, run.measuringNm[i] ?? Number.NaN);
    if (position !== null) return Math.max(0, (position - run.onsetIndex) / run.sampleRateHz);
  }
  return null;
}

/** Time to 90 % of the sustained torque; refused where that was. */
export function timeTo90PercentS(run: TrialRun, sustained: Measure): Measure {
  if ('refused' in sustained) return sustained;
  const timeS = sustained.value > 0 ? timeToLevelS(run, 0.9 * sustained.value) : null;
  return timeS === null
    ? { refused: 'No level was held in the direction of the step, so none was reached.' }
    : { value: timeS };
}

/**
 * Highest reading: the raw sample of the largest magnitude in the run window, with its sign. It depends on the sample rate
 * and is always shown with it; never a figure to compare tools by.
 */
export function highestReadingNm(run: TrialRun): Measure {
  const { first, end } = runIndices(run);
  let value = Number.NaN;
  for (let i = first; i < end; i += 1) {
    const torqueNm = run.rawNm[i] ?? Number.NaN;
    if (Number.isNaN(torqueNm)) continue;
    if (!(Math.abs(torqueNm) <= Math.abs(value))) value = torqueNm;
  }
  return Number.isNaN(value) ? { refused: 'No sample of the run arrived.' } : { value };
}

/** Standard error of a mean from the means of consecutive batches, about their straight line. */
function errorOfBatchMeans(means: readonly number[]): number {
  const n = means.length;
  const mean = means.reduce((sum, value) => sum + value, 0) / n;
  const places = means.map((_, index) => index - (n - 1) / 2);
  const slope =
    places.reduce((sum, place, index) => sum + place * (means[index] ?? 0), 0) /
    places.reduce((sum, place) => sum + place ** 2, 0);
  const squares = means.reduce(
    (sum, value, index) => sum + (value - mean - slope * (places[index] ?? 0)) ** 2,
    0,
  );
  return Math.sqrt(squares / (n - 2) / n);
}

/**
 * The greatest least value over all stretches of `holdSamples` values without a NaN, or null where there is none.
 * A queue of candidates, rising from front to back, gives the least value of each stretch at a constant cost per sample.
 */
function greatestHeldLevel(
  values: Float64Array,
  first: number,
  end: number,
  holdSamples: number,
): number | null {
  const candidates = new Int32Array(end - first);
  let front = 0;
  let back = 0;
  let stretchStart = first;
  let greatest = Number.NEGATIVE_INFINITY;
  for (let i = first; i < end; i += 1) {
    const value = values[i] ?? Number.NaN;
    if (Number.isNaN(value)) {
      front = back;
      stretchStart = i + 1;
      continue;
    }
    while (back > front && (values[candidates[back - 1] ?? 0] ?? Number.NaN) >= value) back -= 1;
    candidates[back] = i;
    back += 1;
    if ((candidates[front] ?? 0) <= i - holdSamples) front += 1;
    if (i - stretchStart + 1 >= holdSamples)
      greatest = Math.max(greatest, values[candidates[front] ?? 0] ?? Number.NaN);
  }
  return greatest === Number.NEGATIVE_INFINITY ? null : greatest;
}
