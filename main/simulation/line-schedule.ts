/** What is still handed out after the schedule has moved on: about one waking's worth. */
const catchUpS = 0.01;

/**
 * Says how many lines are due on a clock that never jumps.
 *
 * A writer that wakes late catches up; one that is later than `maxBehindS` moves its schedule on instead, because a
 * real amplifier never sends a burst of old lines.
 */
export class LineSchedule {
  readonly #rateHz: number;
  readonly #maxBehindS: number;
  #originUs: number;
  #taken = 0;

  constructor(rateHz: number, startUs: number, maxBehindS: number) {
    this.#rateHz = rateHz;
    this.#originUs = startUs;
    this.#maxBehindS = maxBehindS;
  }

  takeDue(nowUs: number): number {
    let due = this.#dueCount(nowUs);
    if (due > Math.max(1, this.#maxBehindS * this.#rateHz)) {
      const kept = Math.max(1, Math.floor(catchUpS * this.#rateHz));
      this.#skip(due - kept);
      due = kept;
    }
    this.#taken += due;
    return due;
  }

  /** Gives up what is due: the next line comes one period from now. */
  moveOn(nowUs: number): void {
    this.#skip(this.#dueCount(nowUs));
  }

  #dueCount(nowUs: number): number {
    return Math.max(0, Math.floor(((nowUs - this.#originUs) * this.#rateHz) / 1e6) - this.#taken);
  }

  #skip(lineCount: number): void {
    this.#originUs += (lineCount * 1e6) / this.#rateHz;
  }
}
