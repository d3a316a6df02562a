/** After so long a stall of this thread samples have come that wait to be read (ours, three ticks). */
const STALL_US = 150_000;

/** Whether the clock is ahead of the samples, so that no time is up yet. */
export interface SamplesWaiting {
  noteArrival(arrivalUs: number): void;
  /** To be asked once a tick. */
  areWaiting(nowUs: number): boolean;
}

/** Timers that are overdue after a stall come before what the reader has sent meanwhile. */
export function createSamplesWaiting(startedUs: number): SamplesWaiting {
  let lastTickUs = startedUs;
  let isAfterStall = false;
  /** Since the last tick. */
  let newestArrivalUs: number | null = null;
  return {
    noteArrival(arrivalUs) {
      newestArrivalUs = arrivalUs;
    },
    areWaiting(nowUs) {
      // Once: on a machine that is always late the time would never be up.
      isAfterStall = nowUs - lastTickUs > STALL_US && !isAfterStall;
      const isCatchingUp = newestArrivalUs !== null && nowUs - newestArrivalUs > STALL_US;
      lastTickUs = nowUs;
      newestArrivalUs = null;
      return isAfterStall || isCatchingUp;
    },
  };
}
