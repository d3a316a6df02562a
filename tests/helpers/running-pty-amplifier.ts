import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { createLineFormatter } from '../../shared-lib/amplifier/format-amplifier-line.ts';
import { createSenderClock, type SenderClockOptions } from '../../shared-lib/simulation/sender-clock.ts';
import type { SimulatedBenchOptions } from '../../shared-lib/simulation/simulated-bench.ts';
import { createSimulatedLines, type SimulatedLines } from '../../shared-lib/simulation/simulated-lines.ts';
import {
  PtyAmplifier,
  type PtyAmplifierCounters,
  type PtyAmplifierOptions,
  type PtyLineSource,
} from '../../main/simulation/pty-amplifier.ts';

export interface PtyAmplifierSetup {
  readonly profile: AmplifierProfile;
  readonly rateHz: number;
  /** The count of each sample from 0 on; whole numbers of 32 bits. Default: a pattern that no shift maps onto itself. */
  readonly countsAt?: (index: number) => number;
  /** Status flags beside them; left out: none is set. */
  readonly flagsAt?: (index: number) => number;
  /** Lines of the simulated bench instead, at `rateHz`, with what goes wrong at set times and with mixed line endings. */
  readonly bench?: Omit<SimulatedBenchOptions, 'sampleRateHz' | 'clock'>;
  /** How the amplifier's clock errs: what it writes and when. Left out: it is exact, and lines come in bursts of up to 10 ms. */
  readonly clock?: SenderClockOptions;
  /**
   * A link to the port that outlives unplugging and plugging in again. Left out: one of its own, since the system gives the
   * name of a closed pseudo-terminal to the next at once, and a program that looks for its amplifier would open that of a
   * test beside it.
   */
  readonly linkPath?: string;
  /** Default `wait`: a full buffer makes lines late, never lost, so that counts can be compared one for one. */
  readonly whenFull?: PtyAmplifierOptions['whenFull'];
}

/** The intact lines that the port has taken whole, in order; three lists of the same length. A line sent twice stands once. */
export interface WrittenLines {
  /** As the amplifier counts, before the modulus: after a reset from 0 again. */
  readonly sequence: number[];
  readonly counts: number[];
  /** Monotonic time of the writing. */
  readonly atUs: number[];
}

export interface RunningPtyAmplifier {
  /** What the program opens: the link where there is one. */
  readonly path: string;
  readonly written: WrittenLines;
  readonly counters: PtyAmplifierCounters;
  /** Everything the program has sent so far, one character per byte. */
  readonly received: string;
  /** Whenever the program sends something; a test may answer with `start` or `stop`. */
  onReceived: ((text: string) => void) | null;
  /** The simulated bench behind it; null where `countsAt` gives the counts. */
  readonly simulated: SimulatedLines | null;
  /** No more lines; the port stays open, and what the program sends is still heard. */
  stop(): void;
  start(): void;
  /** The program sees its port close. */
  unplug(): void;
  plugIn(): void;
  /** Stops and unplugs. */
  close(): void;
}

/** Waits until it has written so many more lines: time as the program can see it, however late a busy machine makes them. */
export async function untilMoreLines(amplifier: RunningPtyAmplifier, lineCount: number): Promise<void> {
  const wanted = amplifier.counters.written + lineCount;
  const deadline = Date.now() + 30_000;
  while (amplifier.counters.written < wanted) {
    if (Date.now() > deadline) throw new Error(`Of ${lineCount} more lines only some were written`);
    await new Promise((resolve) => setTimeout(resolve, 10));
  }
}

/** Waits until its simulated transducer has had so many seconds of rest, by the bench's own clock. */
export async function untilAtRest({ simulated }: RunningPtyAmplifier, restS = 1.5): Promise<void> {
  if (simulated === null) throw new Error('It has no simulated transducer');
  const { bench } = simulated;
  const deadline = Date.now() + 30_000;
  while (bench.elapsedS < bench.busyUntilS + restS) {
    if (Date.now() > deadline)
      throw new Error(`At ${bench.elapsedS} s it is busy until ${bench.busyUntilS} s`);
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}

/** Steps of unequal size within 24 bits. */
function defaultCountsAt(index: number): number {
  return ((index * 7919) % 1_000_003) - 500_000;
}

function countingSource(
  profile: AmplifierProfile,
  rateHz: number,
  countsAt: (index: number) => number,
  flagsAt: (index: number) => number,
  clockOptions?: SenderClockOptions,
): PtyLineSource {
  const format = createLineFormatter(profile);
  const clock = createSenderClock(rateHz, clockOptions);
  let next = 0;
  return {
    isUnplugged: false,
    nextLines: (wantedCount) =>
      Array.from({ length: wantedCount }, () => {
        const sequence = next;
        next += 1;
        const counts = countsAt(sequence);
        const timeUs = Math.round(clock.deviceTimeS(sequence) * 1e6);
        const text = format({ sequence, timeUs, counts, flags: flagsAt(sequence) });
        return { sequence, counts, text, isIntact: true };
      }),
  };
}

let linksSoFar = 0;

function linkOfItsOwn(): string {
  linksSoFar += 1;
  return join(tmpdir(), `proofarm-test-port-${process.pid}-${linksSoFar}`);
}

/** Serves lines on a real pseudo-terminal from the moment a program opens it, and remembers every count. */
export function startPtyAmplifier(setup: PtyAmplifierSetup): RunningPtyAmplifier {
  const { profile, rateHz, bench, clock, linkPath = linkOfItsOwn() } = setup;
  const ofClock = clock === undefined ? {} : { clock };
  const simulated = bench
    ? createSimulatedLines({ ...bench, ...ofClock, sampleRateHz: rateHz }, profile)
    : null;
  let received = '';
  let onReceived: RunningPtyAmplifier['onReceived'] = null;
  const written: WrittenLines = { sequence: [], counts: [], atUs: [] };
  const amplifier = new PtyAmplifier({
    source:
      simulated ??
      countingSource(profile, rateHz, setup.countsAt ?? defaultCountsAt, setup.flagsAt ?? (() => 0), clock),
    rateHz,
    whenFull: setup.whenFull ?? 'wait',
    ...(clock === undefined ? {} : { clock: createSenderClock(rateHz, clock, bench?.seed) }),
    linkPath,
    onReceived: (text) => {
      received += text;
      onReceived?.(text);
    },
    onLineWritten: (line, atUs) => {
      if (!line.isIntact) return;
      written.sequence.push(line.sequence);
      written.counts.push(line.counts);
      written.atUs.push(atUs);
    },
  });
  return {
    get path() {
      return amplifier.path;
    },
    get counters() {
      return amplifier.counters;
    },
    get received() {
      return received;
    },
    get onReceived() {
      return onReceived;
    },
    set onReceived(listener) {
      onReceived = listener;
    },
    written,
    simulated,
    stop: () => {
      amplifier.stop();
    },
    start: () => {
      amplifier.start();
    },
    unplug: () => {
      amplifier.unplug();
    },
    plugIn: () => {
      amplifier.plugIn();
    },
    close: () => {
      amplifier.close();
    },
  };
}
