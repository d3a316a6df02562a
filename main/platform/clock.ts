export interface Clock {
  /** Microseconds on a clock that never jumps and is the same in every process of this machine: for measuring. */
  monotonicUs(): number;
  /** Wall-clock time: a label, never for measuring. */
  now(): Date;
}

export const systemClock: Clock = {
  monotonicUs: () => Number(process.hrtime.bigint() / 1000n),
  now: () => new Date(),
};
