import { lstatSync, readlinkSync, rmSync, symlinkSync } from 'node:fs';
import { AppError } from '../../shared-lib/app-error.ts';
import type { SenderClock } from '../../shared-lib/simulation/sender-clock.ts';
import { systemClock } from '../platform/clock.ts';
import { LineSchedule } from './line-schedule.ts';
import { openPseudoTerminal, type PseudoTerminal } from './pseudo-terminal.ts';

export interface PtyLine {
  readonly sequence: number;
  readonly counts: number;
  /** One byte per character; empty where the line was lost on the way. */
  readonly text: string;
  readonly isIntact: boolean;
}

/** Where the lines come from: the simulated bench, or a test that knows every count. */
export interface PtyLineSource {
  readonly isUnplugged: boolean;
  nextLines(wantedCount: number): readonly PtyLine[];
}

export interface PtyAmplifierOptions {
  readonly source: PtyLineSource;
  readonly rateHz: number;
  /** How its lines keep time; left out: exactly, written in bursts of up to 10 ms. With it each line is written within 1 ms of when it is due. */
  readonly clock?: SenderClock;
  /** A symbolic link to the port, whose path stays the same when the amplifier is plugged in again. */
  readonly linkPath?: string;
  /**
   * `drop`: a line that finds the buffer full is lost and counted, as in a real amplifier. `wait`: it waits, and the
   * schedule moves on; for tests that compare what was written with what was read, one for one.
   */
  readonly whenFull: 'drop' | 'wait';
  /** What the program sends, one character per byte; before the lines of the same waking are written. */
  readonly onReceived?: (text: string) => void;
  /** The port has taken the whole line. */
  readonly onLineWritten?: (line: PtyLine, atUs: number) => void;
}

export interface PtyAmplifierCounters {
  readonly written: number;
  /** Lines that found the buffer full. */
  readonly dropped: number;
  /** Lines that came while no program had the port open (`whenFull: 'drop'` only). */
  readonly unheard: number;
}

const finestWakeMs = 1;
const maxWakeMs = 10;
/** A pseudo-terminal holds some 14 to 20 KB (measured on Linux), hence 600 of the longest ready-made lines. */
const linesPerWake = 100;
const maxBehindS = 0.25;
/** A serial library empties the port as it opens it; a writer that waits lets that pass, so that no line is lost to it. */
const settleUs = 200_000;

/** Lines on their way into the port, with the offset at which each of them ends. */
interface Batch {
  readonly bytes: Buffer;
  readonly lines: readonly PtyLine[];
  readonly ends: readonly number[];
}

function createBatch(lines: readonly PtyLine[]): Batch {
  let end = 0;
  const ends = lines.map((line) => (end += line.text.length));
  return { bytes: Buffer.from(lines.map((line) => line.text).join(''), 'latin1'), lines, ends };
}

function countSent(lines: readonly PtyLine[]): number {
  return lines.filter((line) => line.text !== '').length;
}

/** Serves lines on a real pseudo-terminal at the rate of its clock, from the moment a program opens it. */
export class PtyAmplifier {
  readonly #options: PtyAmplifierOptions;
  readonly #schedule: LineSchedule;
  #terminal: PseudoTerminal | null = null;
  readonly #timer: NodeJS.Timeout;
  #isSending = true;
  #openSinceUs: number | null = null;
  #pending: Batch | null = null;
  #pendingFrom = 0;
  #written = 0;
  #dropped = 0;
  #unheard = 0;

  constructor(options: PtyAmplifierOptions) {
    this.#options = options;
    this.#schedule = new LineSchedule(options.rateHz, systemClock.monotonicUs(), maxBehindS, options.clock);
    this.plugIn();
    const burstMs = Math.min(maxWakeMs, (1000 * linesPerWake) / options.rateHz);
    const wakeMs = options.clock ? finestWakeMs : Math.max(finestWakeMs, burstMs);
    this.#timer = setInterval(() => {
      this.#writeDueLines();
    }, wakeMs);
  }

  /** The path to open: the link where there is one. */
  get path(): string {
    return this.#options.linkPath ?? this.slavePath;
  }

  get slavePath(): string {
    if (!this.#terminal)
      throw new AppError('port-not-found', 'The simulated amplifier is unplugged; plug it in first.');
    return this.#terminal.slavePath;
  }

  get isPluggedIn(): boolean {
    return this.#terminal !== null;
  }

  get counters(): PtyAmplifierCounters {
    return { written: this.#written, dropped: this.#dropped, unheard: this.#unheard };
  }

  /** Does nothing where the lines flow already. */
  start(): void {
    if (this.#isSending) return;
    this.#isSending = true;
    this.#schedule.moveOn(systemClock.monotonicUs());
  }

  /** No more lines; the port stays open, and what the program sends is still heard. */
  stop(): void {
    this.#isSending = false;
  }

  plugIn(): void {
    if (this.#terminal) return;
    const terminal = openPseudoTerminal();
    try {
      if (this.#options.linkPath !== undefined) link(this.#options.linkPath, terminal.slavePath);
    } catch (error) {
      terminal.close();
      throw error;
    }
    this.#terminal = terminal;
  }

  /** The program sees its port close; the link goes, as the path of a real port does. */
  unplug(): void {
    const terminal = this.#terminal;
    if (!terminal) return;
    this.#terminal = null;
    this.#openSinceUs = null;
    this.#pending = null;
    if (this.#options.linkPath !== undefined) unlink(this.#options.linkPath, terminal.slavePath);
    terminal.close();
  }

  close(): void {
    clearInterval(this.#timer);
    this.unplug();
  }

  #writeDueLines(): void {
    const nowUs = systemClock.monotonicUs();
    const isHeard = this.#isHeard(nowUs);
    if (isHeard) this.#flush(nowUs);
    else this.#pending = null;
    if (!this.#isSending) return;
    if (this.#options.whenFull === 'wait' && (!isHeard || this.#pending)) {
      this.#schedule.moveOn(nowUs);
      return;
    }

    const lines = this.#options.source.nextLines(this.#schedule.takeDue(nowUs));
    if (!isHeard) this.#unheard += countSent(lines);
    else if (this.#pending) this.#dropped += countSent(lines);
    else {
      this.#pending = createBatch(lines);
      this.#pendingFrom = 0;
      this.#flush(nowUs);
      if (this.#options.whenFull === 'drop') this.#dropUnstarted();
    }
    if (this.#options.source.isUnplugged) this.unplug();
  }

  #isHeard(nowUs: number): boolean {
    const isOpen = this.#terminal?.isListenedTo() ?? false;
    // The last words of a program that has closed the port by now are among them.
    const received = this.#terminal?.takeReceived() ?? '';
    if (received !== '') this.#options.onReceived?.(received);
    if (!isOpen) {
      this.#openSinceUs = null;
      return false;
    }
    this.#openSinceUs ??= nowUs;
    return this.#options.whenFull === 'drop' || nowUs - this.#openSinceUs >= settleUs;
  }

  #flush(nowUs: number): void {
    const batch = this.#pending;
    if (!batch || !this.#terminal) return;
    const from = this.#pendingFrom;
    const to = from + this.#terminal.write(batch.bytes.subarray(from));
    this.#pendingFrom = to;
    batch.lines.forEach((line, index) => {
      const end = batch.ends[index] ?? 0;
      if (line.text === '' || end <= from || end > to) return;
      this.#written += 1;
      this.#options.onLineWritten?.(line, nowUs);
    });
    if (to === batch.bytes.length) this.#pending = null;
  }

  /** A line that was cut is finished later; those behind it are lost, so that what arrives is whole lines. */
  #dropUnstarted(): void {
    const batch = this.#pending;
    if (!batch) return;
    const firstOpen = batch.ends.findIndex((end) => end > this.#pendingFrom);
    const start = batch.ends[firstOpen - 1] ?? 0;
    const isCut = this.#pendingFrom > start;
    const kept = isCut ? firstOpen + 1 : firstOpen;
    this.#dropped += countSent(batch.lines.slice(kept));
    this.#pending = isCut ? createBatch(batch.lines.slice(firstOpen, kept)) : null;
    this.#pendingFrom -= start;
  }
}

/** Takes the place of a link, but never of anything else. */
function link(linkPath: string, target: string): void {
  const standing = lstatSync(linkPath, { throwIfNoEntry: false });
  if (standing && !standing.isSymbolicLink()) {
    throw new AppError(
      'port-failed',
      `${linkPath} exists and is not a link, so it was left alone. Give a path that is free.`,
      { path: linkPath },
    );
  }
  rmSync(linkPath, { force: true });
  symlinkSync(target, linkPath);
}

/** Leaves a link that somebody else has taken over since. */
function unlink(linkPath: string, target: string): void {
  const standing = lstatSync(linkPath, { throwIfNoEntry: false });
  if (standing?.isSymbolicLink() && readlinkSync(linkPath) === target) rmSync(linkPath);
}
