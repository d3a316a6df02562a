import { formatDuration, formatQuantity, formatRate } from '../format-quantity.ts';
import { recordedAfterOnsetS, type TrialRun } from './trial-run.ts';

/** Every window or hold, other than those of onset and time to level, takes at least this many samples. */
export const MIN_WINDOW_SAMPLES = 10;

export interface Refusal {
  readonly refused: string;
}

export function refusedForRate(what: string, windowS: number, run: TrialRun): Refusal {
  const neededRateHz = MIN_WINDOW_SAMPLES / windowS;
  return {
    refused:
      `${what} needs at least ${MIN_WINDOW_SAMPLES} samples in ${formatQuantity(windowS, 'ms', 0)}, ` +
      `so ${formatRate(neededRateHz)}; this trial has ${formatRate(run.nominalRateHz)}.`,
  };
}

/** The record ends before the time that the measure looks at. */
export function refusedForRecord(what: string, run: TrialRun): Refusal {
  return {
    refused: `${what} was not recorded: the record ends ${formatDuration(recordedAfterOnsetS(run), 2)} after onset.`,
  };
}

/** The planned time is shorter than the window that the measure takes. */
export function refusedForLength(what: string, neededS: number, run: TrialRun): Refusal {
  return {
    refused: `${what} needs a run of at least ${formatDuration(neededS, 1)}; this one has ${formatDuration(run.plannedS, 2)}.`,
  };
}

/** The tool no longer pulled in the time that the measure looks at. */
export function refusedForStop(what: string, earlyStopS: number): Refusal {
  return {
    refused: `${what} looks at the end of the planned time, and the torque fell away ${formatDuration(earlyStopS, 2)} after onset.`,
  };
}

export function refusedForGaps(what: string): Refusal {
  return {
    refused: `${what} has too few values to rest on: too many samples are lost in the time it looks at.`,
  };
}
