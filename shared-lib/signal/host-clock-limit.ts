/** A host that stalls reads late, never early: the line before this one may have been read so late, and nobody saw it. */
const UNSEEN_LATENESS_S = 0.5;
/** Two lines further apart than they are due by more than this: the host stalled, or lines were lost. */
const STALL_US = 100_000;
const LONGEST_LATENESS_US = 30_000_000;
const RATE_WINDOW_US = 1_000_000;
/** How far the sender's rate may lie above the one it was last seen to have. */
const RATE_MARGIN = 1.05;

/**
 * How far a sender can have gone on by the host's monotonic clock, which is what tells a gap from a counter that was set
 * anew.
 *
 * After a stall of the host, lines that waited come all at once and late; a gap behind them is longer than the time since
 * the line before it. That lateness is carried along until the lines have caught up with the clock.
 */
export interface HostClockLimit {
  restart(): void;
  /**
   * The most slots by which a line can lie behind one that was read `sinceUs` before it. The slack for lateness that was
   * never seen is half a second, but at most half of `modulusSlots`, or a step backwards would look like a gap.
   */
  mostSlots(sinceUs: number, modulusSlots: number): number;
  /** A line was placed so many slots behind the one before it. */
  placed(slots: number, sinceUs: number): void;
}

export function createHostClockLimit(nominalRateHz: number): HostClockLimit {
  let rateHz = nominalRateHz;
  let latenessUs = 0;
  let windowSlots = 0;
  let windowUs = 0;

  return {
    restart() {
      rateHz = nominalRateHz;
      latenessUs = 0;
      windowSlots = 0;
      windowUs = 0;
    },
    mostSlots(sinceUs, modulusSlots) {
      const slack = Math.min(UNSEEN_LATENESS_S * rateHz + 2, modulusSlots / 2);
      return ((sinceUs + latenessUs) / 1e6) * rateHz * RATE_MARGIN + slack;
    },
    placed(slots, sinceUs) {
      const before = latenessUs;
      const behindUs = sinceUs - (slots / rateHz) * 1e6;
      // A sender slower than its rate is behind with each line, but never by much: that is no lateness of the host.
      latenessUs =
        behindUs > STALL_US
          ? Math.min(LONGEST_LATENESS_US, Math.max(latenessUs, behindUs))
          : Math.max(0, latenessUs + Math.min(0, behindUs) - sinceUs * (RATE_MARGIN - 1));

      windowSlots += slots;
      windowUs += sinceUs + before - latenessUs;
      if (windowUs >= RATE_WINDOW_US) {
        // A nominal rate entered too low must not make every gap look like a counter set anew.
        rateHz = Math.max(nominalRateHz, (windowSlots * 1e6) / windowUs);
        windowSlots = 0;
        windowUs = 0;
      }
    },
  };
}
