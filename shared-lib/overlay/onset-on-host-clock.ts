import { type ArrivalMark, fitSampleClock } from '../signal/fit-sample-clock.ts';

/**
 * When the onset of a record was on the host's monotonic clock, in microseconds, so that it can be tied to a mark given on that clock.
 *
 * The record's own arrival times carry it over, so that neither a wrong nominal rate nor a sample clock that is off shows: over ten
 * minutes 200 ppm would be 120 ms, seven frames of a camera. What is left is by how much reads are late on average, a few
 * milliseconds over a serial line. Where the arrivals give no line, the last one and the nominal rate have to do.
 *
 * Shape: `onsetSlot` and the slots of the marks count from the record's first slot. Null without a single arrival.
 */
export function onsetOnHostClockUs(record: {
  readonly marks: readonly ArrivalMark[];
  readonly onsetSlot: number;
  readonly nominalRateHz: number;
}): number | null {
  const { marks, onsetSlot, nominalRateHz } = record;
  const fit = fitSampleClock(marks);
  if (fit !== null) return fit.startUs + (onsetSlot * 1e6) / fit.sampleRateHz;
  const last = marks.at(-1);
  return last === undefined ? null : last.arrivalUs - ((last.slot - onsetSlot) * 1e6) / nominalRateHz;
}
