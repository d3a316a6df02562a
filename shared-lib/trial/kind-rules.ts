import type { Kind } from './step-model.ts';
import { PRE_TRIGGER_S, SLOW_SHARE, TAIL_S, type RigUnloading } from './trial-state.ts';

/** What differs between the four kinds of trial while they are pulled. */

/**
 * A breakaway begins with a load that is to stay where it is: the zero in use is kept, since a new one would tare the
 * stored preload away.
 */
export function mayBeLoadedAtStart(kind: Kind): boolean {
  return kind === 'breakaway';
}

/** The other kinds build torque from zero in one direction; what is released swings to either side. */
export function hasWrongDirection(kind: Kind): boolean {
  return kind !== 'breakaway';
}

/**
 * For how long, in seconds, the tool must have stopped until the run is over before its planned time; null: it takes its
 * time. Of a stall or an endurance run the planned time is the most: a clutch that lets go and a charge that is used up are
 * results, and nothing more comes after them. A tool in endurance may be let go for a moment. Both ours.
 */
export function overAfterStopS(kind: Kind): number | null {
  switch (kind) {
    case 'stall':
      return 1;
    case 'endurance':
      return 10;
    default:
      return null;
  }
}

/**
 * What the torque must fall under to count as gone, as a share of what was sustained. Endurance is about torque that
 * fades, so only little of it is nothing. Null: it is not looked for, since a breakaway ends with the torque gone. Ours.
 */
export function goneShare(kind: Kind): number | null {
  switch (kind) {
    case 'tighten':
    case 'stall':
      return 0.5;
    case 'endurance':
      return 0.1;
    case 'breakaway':
      return null;
  }
}

/** What was not released stands until somebody takes it off, on whatever rig. */
export function unloadingAfter(kind: Kind, rigUnloading: RigUnloading): RigUnloading {
  return kind === 'breakaway' ? 'holds' : rigUnloading;
}

/** The most slots of a record: measuring one takes some 32 bytes for each, 1 GB for these. Ours. */
const MOST_RECORD_SLOTS = 2 ** 25;

/** The longest run that is recorded at a rate: an hour at 9 000 Sa/s. With what comes before and after it, and a slow clock. */
export function longestRunS(sampleRateHz: number): number {
  return Math.floor((MOST_RECORD_SLOTS / sampleRateHz - PRE_TRIGGER_S - TAIL_S) / (1 + SLOW_SHARE));
}
