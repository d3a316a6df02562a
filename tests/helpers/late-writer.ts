import type { RunningPtyAmplifier } from './running-pty-amplifier.ts';

/** How late a busy machine made an amplifier of the tests, by its own record of when it wrote each line. */

const LOOK_BACK_US = 15_000_000;

/** The pauses between its lines of the last 15 s that are longer than so many milliseconds; up to 12.5 ms are its way. */
export function pausesOver({ written: { atUs } }: RunningPtyAmplifier, leastMs: number): number[] {
  const lately = newest(atUs);
  return lately.slice(1).flatMap((us, index) => {
    const pauseMs = (us - (lately[index] ?? us)) / 1000;
    return pauseMs > leastMs ? [pauseMs] : [];
  });
}

/**
 * How far a rate that the program measured may be off: it is the slope of a line through some three to five seconds of
 * arrival times, which a slip of the writer turns by as much as half of the slip, in seconds, over three of them.
 */
export function rateTolerance(atUs: readonly number[], rateHz: number): number {
  return 0.01 + slippedS(newest(atUs), rateHz) / 2;
}

/** The least number of samples in a record of so many seconds, which the program counts by the rate that it measured. */
export function leastSamples(atUs: readonly number[], rateHz: number, recordS: number): number {
  return recordS * rateHz * (1 - rateTolerance(atUs, rateHz));
}

/** By how many seconds it came off its schedule: the difference of its greatest and its least lateness. */
function slippedS(atUs: readonly number[], rateHz: number): number {
  const latenessUs = atUs.map((us, index) => us - (index * 1e6) / rateHz);
  const least = latenessUs.reduce((min, us) => Math.min(min, us), Infinity);
  const most = latenessUs.reduce((max, us) => Math.max(max, us), -Infinity);
  return (most - least) / 1e6;
}

function newest(atUs: readonly number[]): readonly number[] {
  const fromUs = (atUs.at(-1) ?? 0) - LOOK_BACK_US;
  return atUs.slice(atUs.findLastIndex((us) => us < fromUs) + 1);
}
