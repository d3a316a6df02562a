import { evenInstants } from './curve-instants.ts';
import { refusedForGaps, refusedForLength, refusedForRecord, refusedForStop } from './refuse-measure.ts';
import { theilSen } from './theil-sen.ts';
import type { Measure } from './trial-model.ts';
import { recordedAfterOnsetS, type TrialRun } from './trial-run.ts';

const WINDOW_S = 2;
const INSTANTS = 100;
const LEVELLED_OFF_PERCENT_PER_S = 1;
/** Since when a torque has levelled off is told to this share of the planned time. */
const SINCE_STEP_SHARE = 0.01;
const WHAT = 'Still climbing';

export interface StillClimbing {
  readonly percentPerS: Measure;
  /** After onset; null where it has not levelled off, or the slope is refused. */
  readonly levelledOffSinceS: number | null;
}

/**
 * Still climbing: Theil and Sen's slope of the measuring curve at 100 evenly spaced instants of the last 2 s of the planned
 * time, in % of the sustained torque per second.
 *
 * 95 % interval after Sen. The instants lie 20 ms apart and the window is about 100 ms long, so that some five neighbours
 * share its samples: the interval counts only every fifth as independent (see `theilSen`). It is of noise and ringing within
 * this run; what is slower than the window, such as an unsteady hand, and the scatter between runs are not in it, nor is that
 * of the sustained torque.
 *
 * Levelled off: the slope lies within 1 %/s of none, up or down; a torque that falls faster no longer climbs, but has not
 * levelled off either. Since when: the same slope is taken of 2 s windows that move back from the end in steps of a hundredth
 * of the planned time while it stays within 1 %/s; it has levelled off since the middle of the earliest of them, or since
 * onset where that one begins there.
 *
 * Refused: where no torque was sustained, a planned time under 2 s, a record that ends earlier, a torque that fell away
 * early, and where less than half of the instants have a value.
 */
export function stillClimbing(run: TrialRun, sustained: Measure, earlyStopS: number | null): StillClimbing {
  const refuse = (refusal: Measure): StillClimbing => ({ percentPerS: refusal, levelledOffSinceS: null });
  if ('refused' in sustained) return refuse(sustained);
  if (!(sustained.value > 0)) {
    return refuse({ refused: 'No torque was held in the direction of the step, so none could climb.' });
  }
  if (run.plannedS < WINDOW_S) return refuse(refusedForLength(WHAT, WINDOW_S, run));
  if (recordedAfterOnsetS(run) < run.plannedS) return refuse(refusedForRecord(WHAT, run));
  if (earlyStopS !== null) return refuse(refusedForStop(WHAT, earlyStopS));

  const slope = windowSlope(run, run.plannedS - WINDOW_S);
  if (slope === null) return refuse(refusedForGaps(WHAT));
  const percent = (nmPerS: number): number => (100 * nmPerS) / sustained.value;
  const { interval } = slope;
  const value = percent(slope.slope);
  const isLevel = (percentPerS: number): boolean => Math.abs(percentPerS) < LEVELLED_OFF_PERCENT_PER_S;
  return {
    percentPerS: {
      value,
      ...(interval === null
        ? {}
        : { interval: { low: percent(interval.low), high: percent(interval.high) } }),
    },
    levelledOffSinceS: isLevel(value) ? levelSinceS(run, (nmPerS) => isLevel(percent(nmPerS))) : null,
  };
}

function levelSinceS(run: TrialRun, isLevel: (slopeNmPerS: number) => boolean): number {
  const lastFromS = run.plannedS - WINDOW_S;
  let earliestS = lastFromS;
  for (let step = 1; earliestS > 0; step += 1) {
    const fromS = Math.max(0, lastFromS - step * SINCE_STEP_SHARE * run.plannedS);
    const slope = windowSlope(run, fromS);
    if (slope === null || !isLevel(slope.slope)) break;
    earliestS = fromS;
  }
  return earliestS === 0 ? 0 : earliestS + WINDOW_S / 2;
}

function windowSlope(run: TrialRun, fromS: number): ReturnType<typeof theilSen> | null {
  const instants = evenInstants(run, fromS, fromS + WINDOW_S, INSTANTS);
  return instants === null ? null : theilSen(instants.timesS, instants.torqueNm, instants.sharing);
}
