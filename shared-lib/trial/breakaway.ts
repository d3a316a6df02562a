import { formatDuration, formatTorqueInBothUnits } from '../format-quantity.ts';
import { meanOfPresent } from '../signal/mean-of-present.ts';
import { leastPreloadNm } from './find-onset.ts';
import { MIN_WINDOW_SAMPLES } from './refuse-measure.ts';
import type { Breakaway } from './trial-model.ts';
import { recordedAfterOnsetS, type TrialRun } from './trial-run.ts';

/** What the preload is taken from ends this long before onset: the measuring window reaches half of it ahead. */
const CLEAR_OF_ONSET_S = 0.1;
/** Under this share of it a preload counts as gone: what is left then is friction of a nut that turns (ours). */
const GONE_SHARE = 0.1;
/** As the sustained torque is held; a swing that lasts less stands for nothing. */
const HOLD_S = 0.25;

/**
 * Kind breakaway: the torque that stood before onset, and when it was released.
 *
 * `preloadNm`: minus the mean of the raw samples from the record's start to 100 ms before onset, so that it is positive
 * where it stands against the step. Refused under three times the onset level.
 *
 * `releasedAtS`: the stored torque stands wherever the measuring curve lies, for 250 ms on end, against
 * the step by more than a tenth of the preload or the onset level, whichever is more. It is released at the end of the
 * last stretch of the whole record in which it stood, tail included: so blows, whose mean can hide a torque that still
 * stands, release nothing if it is there again once the tool is still, and a rig that swings back for a moment takes
 * nothing away. Interpolated between samples; null: it stood at the planned time or after it.
 */
export function breakaway(run: TrialRun, onsetLevelNm: number): Breakaway {
  const preloadNm = preloadBefore(run);
  if (preloadNm === null) {
    return { refused: 'Too few samples lie before onset to say what preload stood there.' };
  }
  const leastNm = leastPreloadNm(onsetLevelNm);
  if (!(preloadNm >= leastNm)) {
    return {
      refused:
        `Before onset ${formatTorqueInBothUnits(preloadNm, 1)} stood against the step; ` +
        `a preload whose release can be seen takes at least ${formatTorqueInBothUnits(leastNm, 1)}.`,
    };
  }
  const standsNm = Math.max(GONE_SHARE * preloadNm, onsetLevelNm);
  const lastIndex = endOfStanding(run, standsNm);
  const isKnown = countPresent(run.measuringNm, lastIndex + 1) >= holdSamplesOf(run);
  if (secondsAfterOnset(run, lastIndex) >= run.plannedS) return { preloadNm, releasedAtS: null };
  if (!isKnown) {
    return {
      refused:
        `The record ends ${formatDuration(recordedAfterOnsetS(run), 2)} after onset, and the preload stood until then; ` +
        `${formatDuration(run.plannedS, 1)} were planned.`,
    };
  }
  const releasedAtS = secondsAfterOnset(run, crossingAfter(run.measuringNm, lastIndex, -standsNm));
  return { preloadNm, releasedAtS: releasedAtS > run.plannedS ? null : Math.max(0, releasedAtS) };
}

function preloadBefore(run: TrialRun): number | null {
  const end = Math.floor(run.onsetIndex - CLEAR_OF_ONSET_S * run.sampleRateHz);
  const before = run.rawNm.subarray(0, Math.max(0, end)).filter((value) => !Number.isNaN(value));
  const mean = before.length < MIN_WINDOW_SAMPLES ? null : meanOfPresent(before);
  return mean === null ? null : -mean;
}

/** The last sample of the last stretch in which the torque stood; the onset where there is none after it. */
function endOfStanding(run: TrialRun, standsNm: number): number {
  const { measuringNm, onsetIndex } = run;
  const holdSamples = holdSamplesOf(run);
  let heldSamples = 0;
  let last = Math.floor(onsetIndex);
  for (let i = 0; i < measuringNm.length; i += 1) {
    heldSamples = (measuringNm[i] ?? Number.NaN) < -standsNm ? heldSamples + 1 : 0;
    if (heldSamples >= holdSamples && i > last) last = i;
  }
  return last;
}

/** Where the curve rises over a level after an index, on the straight line to the next value; across a gap, that value. */
function crossingAfter(curve: Float64Array, index: number, levelNm: number): number {
  let next = index + 1;
  while (next < curve.length && Number.isNaN(curve[next])) next += 1;
  if (next > index + 1) return next;
  const before = curve[index] ?? Number.NaN;
  const after = curve[next] ?? Number.NaN;
  const share = (levelNm - before) / (after - before);
  return share >= 0 && share <= 1 ? index + share : next;
}

function holdSamplesOf({ nominalRateHz }: TrialRun): number {
  return Math.round(HOLD_S * nominalRateHz);
}

function countPresent(curve: Float64Array, from: number): number {
  return curve.subarray(from).reduce((count, value) => count + Number(!Number.isNaN(value)), 0);
}

function secondsAfterOnset(run: TrialRun, index: number): number {
  return (index - run.onsetIndex) / run.sampleRateHz;
}
