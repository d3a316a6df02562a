import { fitSampleClock, type SampleClockFit } from '../../shared-lib/signal/fit-sample-clock.ts';
import type { SampleBlock } from '../../shared-lib/signal/sample-block.ts';

const WINDOW_US = 5_000_000;
const LEAST_WINDOW_US = 1_000_000;
/** A fault is believed only on this much of the window. */
const FAULT_WINDOW_US = 0.8 * WINDOW_US;
/** Off nominal by more than this is a fault: times would be wrong by as much. */
const TOLERANCE = 0.02;

export interface RateWatch {
  /** A new connection: nothing is known, and the fault may be told again. */
  restart(nominalRateHz: number): void;
  /** A new segment: its slots cannot be fitted together with those before. */
  forgetMarks(): void;
  receive(block: SampleBlock): void;
  /** Measures anew. Returns by how many percent the rate is off, once in a connection; else null. */
  check(nowUs: number): number | null;
  fit(): SampleClockFit | null;
  /** By how many percent the rate was off when it was last known well; null: it is within the tolerance. */
  percentOff(): number | null;
}

/** The sample rate of the newest seconds, and whether it is the one that the profile names. */
export function createRateWatch(): RateWatch {
  let nominalRateHz = Number.NaN;
  let marks: { slot: number; arrivalUs: number }[] = [];
  let fit: SampleClockFit | null = null;
  let percentOff: number | null = null;
  let isTold = false;

  return {
    restart(nextNominalRateHz) {
      nominalRateHz = nextNominalRateHz;
      marks = [];
      fit = null;
      percentOff = null;
      isTold = false;
    },
    forgetMarks() {
      marks = [];
      fit = null;
    },
    receive({ firstSlot, counts, arrivalUs }) {
      if (counts.length > 0) marks.push({ slot: firstSlot + counts.length - 1, arrivalUs });
    },
    check(nowUs) {
      const recent = marks.findIndex((mark) => nowUs - mark.arrivalUs <= WINDOW_US);
      if (recent > 0) marks.splice(0, recent);
      const first = marks[0];
      const last = marks[marks.length - 1];
      if (!first || !last || last.arrivalUs - first.arrivalUs < LEAST_WINDOW_US) return null;
      fit = fitSampleClock(marks);
      if (!fit || last.arrivalUs - first.arrivalUs < FAULT_WINDOW_US) return null;
      const offBy = Math.abs(fit.sampleRateHz / nominalRateHz - 1);
      percentOff = offBy > TOLERANCE ? Math.round(offBy * 100) : null;
      if (percentOff === null || isTold) return null;
      isTold = true;
      return percentOff;
    },
    fit: () => fit,
    percentOff: () => percentOff,
  };
}
