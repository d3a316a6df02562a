import type { AmplifierProfile } from '../amplifier/amplifier-profile.ts';
import { createLineFormatter } from '../amplifier/format-amplifier-line.ts';
import { assertNever } from '../assert-never.ts';
import { requirePossible } from './possible-misbehaviour.ts';
import { createSeededRandom, type SeededRandom } from './seeded-random.ts';
import { createSenderClock } from './sender-clock.ts';
import {
  createSimulatedBench,
  type Misbehaviour,
  type SimulatedBench,
  type SimulatedBenchOptions,
} from './simulated-bench.ts';

export interface SimulatedLine {
  /** As the amplifier counts, before the modulus; less than 0 where it stepped back beyond its start. */
  readonly sequence: number;
  readonly timeUs: number;
  readonly counts: number;
  readonly flags: number;
  /** Characters up to U+00FF, one byte each; empty where the line was lost on the way, two lines where it came twice. */
  readonly text: string;
  /** Whether the text says what the sample was. */
  readonly isIntact: boolean;
}

export interface SimulatedLines {
  readonly bench: SimulatedBench;
  /** Once true no line comes any more. */
  readonly isUnplugged: boolean;
  /**
   * From the next sample on. Errors: AppError 'profile-invalid' for what lines of this profile cannot show: a bad checksum
   * where they carry none, a jump of a counter or a flag that they do not carry, counts beyond what fits.
   */
  misbehave(what: Misbehaviour): void;
  /** One entry per sample; fewer than wanted if the amplifier is unplugged meanwhile. */
  nextLines(wantedCount: number): SimulatedLine[];
}

/** What lasts for some samples. */
type Disturbance = Exclude<Misbehaviour['kind'], 'unplug' | 'reset' | 'backwards' | 'clockJump'>;

const GARBAGE_STREAM = 2;

/** Bytes as a loose plug makes them, as many as the line had. */
function makeGarbage(length: number, random: SeededRandom): string {
  return Array.from({ length }, () => String.fromCharCode(Math.floor(random.uniform() * 256))).join('');
}

/** Alters the last digit before the checksum. */
function alterDigit(text: string): string {
  const at = text.indexOf('*') - 1;
  const altered = ((Number.parseInt(text[at] ?? '', 16) + 1) % 10).toString();
  return `${text.slice(0, at)}${altered}${text.slice(at + 1)}`;
}

/** The endings that a stream of mixed endings takes by turns; the second is cut where the first is. */
function endingsOf(
  profile: AmplifierProfile,
  lineEndings: SimulatedBenchOptions['lineEndings'],
): readonly AmplifierProfile['lineEnding'][] {
  if (lineEndings !== 'mixed') return [profile.lineEnding];
  return [profile.lineEnding === '\r' ? '\r' : '\n', '\r\n'];
}

/**
 * The lines that an amplifier of this profile writes for a simulated bench, with whatever goes wrong on request.
 *
 * Sample i carries sequence number i and the time of its period's start on the amplifier's own oscillator, both counted
 * from the last reset. The chunking of `nextLines` does not matter. Where the options do not say how many bits the
 * converter has, the profile does. Times of misbehaviours are turned into numbers of samples at the nominal rate.
 */
export function createSimulatedLines(
  options: SimulatedBenchOptions,
  profile: AmplifierProfile,
): SimulatedLines {
  const bench = createSimulatedBench({ converterBits: profile.converterBits, ...options });
  const clock = createSenderClock(options.sampleRateHz, options.clock);
  const formatters = endingsOf(profile, options.lineEndings).map((lineEnding) =>
    createLineFormatter({ ...profile, lineEnding }),
  );
  const garbageRandom = createSeededRandom(options.seed, GARBAGE_STREAM);
  const scheduled = (options.misbehaviours ?? [])
    .map(({ atS, what }) => ({ atSample: Math.round(atS * options.sampleRateHz), what }))
    .sort((one, other) => one.atSample - other.atSample);
  for (const { what } of scheduled) requirePossible(what, profile);

  let active: { readonly kind: Disturbance; readonly flag: number; readonly untilSample: number }[] = [];
  let isUnplugged = false;
  let lastCounts = 0;
  /** What the amplifier's counters are ahead of the bench's. */
  let sequenceShift = 0;
  let timeShiftUs = 0;

  const timeUsAt = (sample: number) => Math.round(clock.deviceTimeS(sample) * 1e6);

  function begin(what: Misbehaviour): void {
    switch (what.kind) {
      case 'unplug':
        isUnplugged = true;
        return;
      case 'reset':
        sequenceShift = -bench.sampleCount;
        timeShiftUs = -timeUsAt(bench.sampleCount);
        return;
      case 'backwards':
        sequenceShift -= what.by;
        return;
      case 'clockJump':
        timeShiftUs += Math.round(what.byMs * 1000);
        return;
      default: {
        const count = 'count' in what ? what.count : Math.round(what.durationS * options.sampleRateHz);
        const flag = what.kind === 'flag' ? 2 ** what.bit : 0;
        active.push({ kind: what.kind, flag, untilSample: bench.sampleCount + count });
      }
    }
  }

  function disturb(
    line: SimulatedLine,
    kind: Disturbance,
    format: (line: SimulatedLine) => string,
  ): SimulatedLine {
    switch (kind) {
      case 'gap':
      case 'silence':
        return { ...line, text: '', isIntact: false };
      case 'garbage':
        return { ...line, text: makeGarbage(line.text.length, garbageRandom), isIntact: false };
      case 'badChecksum':
        return line.isIntact ? { ...line, text: alterDigit(line.text), isIntact: false } : line;
      case 'rail': {
        const railed = { ...line, counts: bench.truth.highRailCounts };
        return { ...railed, text: format(railed) };
      }
      case 'stuck': {
        const stuck = { ...line, counts: lastCounts };
        return { ...stuck, text: format(stuck) };
      }
      case 'beyondRails': {
        const beyond = { ...line, counts: 2 ** (profile.converterBits - 1), isIntact: false };
        return { ...beyond, text: format(beyond) };
      }
      case 'flag': {
        const flags = active.reduce((set, { flag }) => (set | flag) >>> 0, 0);
        const flagged = { ...line, flags };
        return { ...flagged, text: format(flagged) };
      }
      case 'duplicate':
        return { ...line, text: line.text + line.text };
      default:
        return assertNever(kind, 'A misbehaviour needs its effect on a line');
    }
  }

  /** What changes the numbers comes before what happens to the line on its way. */
  const order: readonly Disturbance[] = [
    'rail',
    'stuck',
    'beyondRails',
    'flag',
    'badChecksum',
    'duplicate',
    'garbage',
    'gap',
    'silence',
  ];

  function nextLine(): SimulatedLine {
    const sample = bench.sampleCount;
    const format = formatters[sample % formatters.length] ?? createLineFormatter(profile);
    active = active.filter(({ untilSample }) => untilSample > sample);
    const [counts = 0] = bench.nextCounts(1);
    const plain = {
      sequence: sample + sequenceShift,
      timeUs: timeUsAt(sample) + timeShiftUs,
      counts,
      flags: 0,
    };
    let line: SimulatedLine = { ...plain, text: format(plain), isIntact: true };
    if (active.length > 0) {
      for (const kind of order) {
        if (active.some((disturbance) => disturbance.kind === kind)) line = disturb(line, kind, format);
      }
    }
    lastCounts = line.counts;
    return line;
  }

  return {
    bench,
    get isUnplugged() {
      return isUnplugged;
    },
    misbehave(what) {
      requirePossible(what, profile);
      begin(what);
    },
    nextLines(wantedCount) {
      const lines: SimulatedLine[] = [];
      while (lines.length < wantedCount) {
        while (scheduled[0] !== undefined && scheduled[0].atSample <= bench.sampleCount) {
          const due = scheduled.shift();
          if (due !== undefined) begin(due.what);
        }
        if (isUnplugged) break;
        lines.push(nextLine());
      }
      return lines;
    },
  };
}
