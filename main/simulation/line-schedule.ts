import { createSenderClock, type SenderClock } from '../../shared-lib/simulation/sender-clock.ts';

/** What is still handed out after the schedule has moved on: about one waking's worth. */
const catchUpS = 0.01;

/**
 * Says how many lines are due on a clock that never jumps. A line is due when the period of its sample ends, give or take
 * the sender's jitter; lines never overtake each other.
 *
 * A writer that wakes late catches up; one that is later than `maxBehindS` moves its schedule on instead, because a
 * real amplifier never sends a burst of old lines.
 */
export class LineSchedule {
  readonly #rateHz: number;
  readonly #maxBehindS: number;
  readonly #clock: SenderClock;
  #originUs: number;
  #taken = 0;
  /** Of the next line, from the origin. */
  #dueUs = 0;

  /** `rateHz` is the nominal rate; without a clock the lines keep to it. */
  constructor(
    rateHz: number,
    startUs: number,
    maxBehindS: number,
    clock: SenderClock = createSenderClock(rateHz),
  ) {
    this.#rateHz = rateHz;
    this.#originUs = startUs;
    this.#maxBehindS = maxBehindS;
    this.#clock = clock;
    this.#dueUs = this.#drawDueUs();
  }

  get nextDueUs(): number {
    return this.#originUs + this.#dueUs;
  }

  takeDue(nowUs: number): number {
    const overdue = this.#overdueCount(nowUs);
    if (overdue > Math.max(1, this.#maxBehindS * this.#rateHz)) {
      this.#skip(overdue - Math.max(1, Math.floor(catchUpS * this.#rateHz)));
    }
    let due = 0;
    while (this.#dueUs <= nowUs - this.#originUs) {
      due += 1;
      this.#taken += 1;
      this.#dueUs = this.#drawDueUs();
    }
    return due;
  }

  /** Gives up what is due: the next line comes one period from now, at most. */
  moveOn(nowUs: number): void {
    this.#skip(this.#overdueCount(nowUs));
  }

  #drawDueUs(): number {
    return this.#clock.sampledAtS(this.#taken + 1) * 1e6 + this.#clock.drawJitterUs();
  }

  /** At the nominal rate: near enough to decide how far to move on. */
  #overdueCount(nowUs: number): number {
    const lateUs = nowUs - this.nextDueUs;
    return lateUs < 0 ? 0 : Math.floor((lateUs * this.#rateHz) / 1e6) + 1;
  }

  #skip(lineCount: number): void {
    this.#originUs += (lineCount * 1e6) / this.#rateHz;
  }
}
