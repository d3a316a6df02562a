import { Readable } from 'node:stream';
import type { AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type {
  Misbehaviour,
  SimulatedBenchOptions,
  SimulatedLoad,
  SimulatedPull,
  SimulatedPullTruth,
} from '../../shared-lib/simulation/simulated-bench.ts';
import { createSenderClock } from '../../shared-lib/simulation/sender-clock.ts';
import { createSimulatedLines, type SimulatedLines } from '../../shared-lib/simulation/simulated-lines.ts';
import { systemClock } from '../platform/clock.ts';
import { LineSchedule } from '../simulation/line-schedule.ts';

const wakeMs = 10;
/** A clock that errs by fractions of a millisecond would not show in bursts of 10 ms. */
const finestWakeMs = 1;
/** A busy machine catches up, as the buffers of a real port let it; so long a stall loses the rhythm. */
const maxBehindS = 2;
/** A reader that leaves this much unread loses lines, as it would at the buffer of a real port. */
const maxUnreadBytes = 65_536;

/** Bytes of a simulated amplifier, paced as a serial port would give them. Opens at once. */
export class SimulatedAmplifierPort extends Readable {
  readonly #lines: SimulatedLines;
  readonly #schedule: LineSchedule;
  readonly #timer: NodeJS.Timeout;
  #droppedLines = 0;

  constructor(options: SimulatedBenchOptions, profile: AmplifierProfile) {
    super({ highWaterMark: maxUnreadBytes });
    this.#lines = createSimulatedLines(options, profile);
    const { sampleRateHz, clock, seed } = options;
    const senderClock = createSenderClock(sampleRateHz, clock, seed);
    this.#schedule = new LineSchedule(sampleRateHz, systemClock.monotonicUs(), maxBehindS, senderClock);
    this.#timer = setInterval(
      () => {
        this.#writeDueLines();
      },
      clock ? finestWakeMs : wakeMs,
    );
  }

  /** Lines that nobody read in time. */
  get droppedLines(): number {
    return this.#droppedLines;
  }

  pull(pull: SimulatedPull): SimulatedPullTruth {
    return this.#lines.bench.pull(pull);
  }

  /** Named apart from the stream's own `push`. */
  pushByHand(torqueNm: number, durationS: number): SimulatedLoad {
    return this.#lines.bench.push(torqueNm, durationS);
  }

  hang(torqueNm: number): void {
    this.#lines.bench.hang(torqueNm);
  }

  misbehave(what: Misbehaviour): void {
    this.#lines.misbehave(what);
  }

  async closePort(): Promise<void> {
    if (this.closed) return;
    await new Promise<void>((resolve) => {
      this.once('close', resolve);
      this.destroy();
    });
  }

  override _read(): void {
    // The clock writes, not the reader's demand.
  }

  override _destroy(error: Error | null, callback: (error?: Error | null) => void): void {
    clearInterval(this.#timer);
    callback(error);
  }

  #writeDueLines(): void {
    const lines = this.#lines.nextLines(this.#schedule.takeDue(systemClock.monotonicUs()));
    if (this.readableLength >= maxUnreadBytes) {
      this.#droppedLines += lines.length;
    } else {
      const text = lines.map((line) => line.text).join('');
      if (text !== '') this.push(Buffer.from(text, 'latin1'));
    }
    if (this.#lines.isUnplugged) this.destroy(new Error('The simulated amplifier was unplugged.'));
  }
}
