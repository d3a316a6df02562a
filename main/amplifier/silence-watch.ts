/** No line for five sample periods, and never less than 250 ms: reports come every 20 ms, and a busy machine is late. */
const LEAST_SILENCE_US = 250_000;
const SILENT_PERIODS = 5;

export interface SilenceWatch {
  /** The port was opened: lines are awaited from now on. */
  restart(nominalRateHz: number, nowUs: number): void;
  /** Returns how many milliseconds of silence end with this arrival; null where none had been told. */
  arrived(arrivalUs: number): number | null;
  /**
   * Returns whether it is silent now: no line at this look nor at the one before. Where the program itself was held up, what came
   * meanwhile waits to be read between the two.
   */
  check(nowUs: number): boolean;
}

export function createSilenceWatch(): SilenceWatch {
  let limitUs = LEAST_SILENCE_US;
  let lastArrivalUs = 0;
  let wasLate = false;
  let isSilent = false;
  return {
    restart(nominalRateHz, nowUs) {
      limitUs = Math.max(LEAST_SILENCE_US, (SILENT_PERIODS * 1e6) / nominalRateHz);
      lastArrivalUs = nowUs;
      wasLate = false;
      isSilent = false;
    },
    arrived(arrivalUs) {
      const silenceMs = isSilent ? Math.round((arrivalUs - lastArrivalUs) / 1000) : null;
      lastArrivalUs = arrivalUs;
      wasLate = false;
      isSilent = false;
      return silenceMs;
    },
    check(nowUs) {
      const isLate = nowUs - lastArrivalUs > limitUs;
      isSilent ||= isLate && wasLate;
      wasLate = isLate;
      return isSilent;
    },
  };
}
