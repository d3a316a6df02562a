import { formatDuration, formatNumber, THIN_SPACE } from '../format-quantity.ts';
import { evenInstants, type CurveInstants } from './curve-instants.ts';
import { fitSaturatingRise } from './fit-saturating-rise.ts';
import {
  refusedForGaps,
  refusedForLength,
  refusedForRecord,
  refusedForStop,
  type Refusal,
} from './refuse-measure.ts';
import { theilSen } from './theil-sen.ts';
import type { Measure, RiseModel } from './trial-model.ts';
import { recordedAfterOnsetS, type TrialRun } from './trial-run.ts';

const RISE_WINDOW_S = 0.5;
const RISE_INSTANTS = 100;
const MODEL_INSTANTS = 1000;
const LEAST_TIME_CONSTANTS = 3;
const MOST_ERROR_SHARE = 0.03;
const MODEL = 'The rise model';

/**
 * Rise: Theil and Sen's slope of the measuring curve at 100 evenly spaced instants of the first 500 ms after onset, in
 * N m/s. For study, not for comparing tools.
 *
 * No interval: a rise bends, so that its slopes differ by the bend and not by chance. Refused for a planned time or a record
 * under 500 ms, and where less than half of the instants have a value.
 */
export function riseNmPerS(run: TrialRun): Measure {
  if (run.plannedS < RISE_WINDOW_S) return refusedForLength('Rise', RISE_WINDOW_S, run);
  if (recordedAfterOnsetS(run) < RISE_WINDOW_S) return refusedForRecord('Rise', run);
  const instants = evenInstants(run, 0, RISE_WINDOW_S, RISE_INSTANTS);
  if (instants === null) return refusedForGaps('Rise');
  return { value: theilSen(instants.timesS, instants.torqueNm).slope };
}

/**
 * Rise model: T(t) = T_inf (1 - exp(-t / tau)), t from onset, by least squares to the measuring curve at 1000 evenly spaced
 * instants of the run. T_inf in N m, tau in s.
 *
 * Given only where the run is at least 3 tau long and the standard error of T_inf is at most 3 % of it; that error is this
 * gate and nothing else, the spread between runs is the uncertainty. It counts instants that share a measuring window as one.
 * Onset is where the torque passes its level, not where it leaves zero: tau comes out shorter by about the time between.
 *
 * Refused besides: a record that ends before the planned time, a torque that fell away early, fewer than half of the
 * instants with a value, a curve that does not bend towards a torque, and a tau shorter than the measuring window or the
 * distance of the instants, which hide such a rise.
 */
export function riseModel(run: TrialRun, earlyStopS: number | null): RiseModel {
  if (recordedAfterOnsetS(run) < run.plannedS) return refusedForRecord(MODEL, run);
  if (earlyStopS !== null) return refusedForStop(MODEL, earlyStopS);
  const instants = evenInstants(run, 0, run.plannedS, MODEL_INSTANTS);
  if (instants === null) return refusedForGaps(MODEL);
  const fit = fitSaturatingRise(instants.timesS, instants.torqueNm, startOf(instants));
  if (fit === null || !(fit.rate > 0 && fit.amplitude > 0)) {
    return { refused: `${MODEL} does not hold: the curve does not bend towards a torque within the run.` };
  }
  const timeConstantS = 1 / fit.rate;
  const torqueStandardErrorNm = fit.amplitudeStandardError * Math.sqrt(instants.sharing);
  return (
    refusalOfFit(run, timeConstantS, torqueStandardErrorNm / fit.amplitude) ?? {
      torqueNm: fit.amplitude,
      timeConstantS,
      torqueStandardErrorNm,
    }
  );
}

function refusalOfFit(run: TrialRun, timeConstantS: number, errorShare: number): Refusal | null {
  const neededS = LEAST_TIME_CONSTANTS * timeConstantS;
  if (run.plannedS < neededS) {
    return {
      refused: `${MODEL} needs a run of at least three time constants, here ${formatDuration(neededS, 1)}; this one has ${formatDuration(run.plannedS, 1)}.`,
    };
  }
  const resolvedS = Math.max(run.windowSamples / run.nominalRateHz, run.plannedS / (MODEL_INSTANTS - 1));
  if (timeConstantS < resolvedS) {
    return {
      refused: `${MODEL} cannot be told: the torque is there within ${formatDuration(resolvedS, 2)}, over which the curve is averaged.`,
    };
  }
  if (errorShare <= MOST_ERROR_SHARE) return null;
  return {
    refused: `${MODEL} does not hold: its torque has a standard error of ${formatNumber(100 * errorShare, 1)}${THIN_SPACE}%, more than ${formatNumber(100 * MOST_ERROR_SHARE, 0)}${THIN_SPACE}%.`,
  };
}

/** The highest torque, and the time in which 63 % of it are reached. */
function startOf({ timesS, torqueNm }: CurveInstants): { amplitude: number; rate: number } {
  const amplitude = torqueNm.reduce((highest, value) => Math.max(highest, value), Number.NEGATIVE_INFINITY);
  const reached = torqueNm.findIndex((value) => value >= (1 - Math.exp(-1)) * amplitude);
  return { amplitude, rate: 1 / Math.max(timesS[reached] ?? 0, timesS[1] ?? 1) };
}
