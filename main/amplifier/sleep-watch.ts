/** Wall clock and monotonic clock drift apart by microseconds in a tick; a step this large is another thing. */
const CLOCKS_APART_US = 2_000_000;
const LATE_TICK_US = 5_000_000;
/** Reports of the time just before and just after standing still say nothing of the time in between. */
const MARGIN_US = 1_000_000;

export interface SleepWatch {
  arrived(arrivalUs: number): void;
  /** Returns for how many seconds the computer slept or stood still before this tick; null where it did not. */
  tick(nowUs: number, wallMs: number): number | null;
}

/**
 * Finds out afterwards that the computer slept, by the two signs there are.
 *
 * Where the monotonic clock stands still in sleep (Linux), the wall clock has gone further than it. Where it goes on (macOS,
 * Windows), a tick comes late, and the reader too has read nothing meanwhile; a late tick alone is a busy program,
 * whose reader went on reading.
 *
 * What cannot be told apart: a wall clock that somebody set forward by more than 2 s from a sleep of that length. The harm is
 * one segment too many. A wall clock that was set back is no sleep and raises nothing; nor does a sleep during which it was set
 * back by more than the sleep's length.
 */
export function createSleepWatch(): SleepWatch {
  let last: { nowUs: number; wallMs: number } | null = null;
  let suspected: { fromUs: number; toUs: number } | null = null;

  return {
    arrived(arrivalUs) {
      if (suspected && arrivalUs > suspected.fromUs + MARGIN_US && arrivalUs < suspected.toUs - MARGIN_US) {
        suspected = null;
      }
    },
    tick(nowUs, wallMs) {
      const before = last;
      last = { nowUs, wallMs };
      if (!before) return null;
      const elapsedUs = nowUs - before.nowUs;
      const apartUs = (wallMs - before.wallMs) * 1000 - elapsedUs;
      if (apartUs > CLOCKS_APART_US) {
        suspected = null;
        return Math.round((apartUs + elapsedUs) / 1e6);
      }
      // Decided one tick later: the reports that waited come between the late tick and the next.
      const silent = suspected;
      suspected = elapsedUs > LATE_TICK_US ? { fromUs: before.nowUs, toUs: nowUs } : null;
      return silent && Math.round((silent.toUs - silent.fromUs) / 1e6);
    },
  };
}
