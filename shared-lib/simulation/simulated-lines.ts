import type { AmplifierProfile } from '../amplifier/amplifier-profile.ts';
import { createLineFormatter } from '../amplifier/format-amplifier-line.ts';
import { AppError } from '../app-error.ts';
import { assertNever } from '../assert-never.ts';
import { createSeededRandom, type SeededRandom } from './seeded-random.ts';
import {
  createSimulatedBench,
  type Misbehaviour,
  type SimulatedBench,
  type SimulatedBenchOptions,
} from './simulated-bench.ts';

export interface SimulatedLine {
  readonly sequence: number;
  readonly timeUs: number;
  readonly counts: number;
  /** Characters up to U+00FF, one byte each; empty where the line was lost on the way. */
  readonly text: string;
  /** Whether the text says what the sample was. */
  readonly isIntact: boolean;
}

export interface SimulatedLines {
  readonly bench: SimulatedBench;
  /** Once true no line comes any more. */
  readonly isUnplugged: boolean;
  /** From the next sample on. Errors: AppError 'profile-invalid' for a bad checksum where lines carry none. */
  misbehave(what: Misbehaviour): void;
  /** One entry per sample; fewer than wanted if the amplifier is unplugged meanwhile. */
  nextLines(wantedCount: number): SimulatedLine[];
}

type Disturbance = Exclude<Misbehaviour['kind'], 'unplug'>;

const GARBAGE_STREAM = 2;

/** Bytes as a loose plug makes them, as many as the line had. */
function makeGarbage(length: number, random: SeededRandom): string {
  return Array.from({ length }, () => String.fromCharCode(Math.floor(random.uniform() * 256))).join('');
}

/** Alters the last digit before the checksum. */
function alterDigit(text: string): string {
  const at = text.indexOf('*') - 1;
  return `${text.slice(0, at)}${(Number(text[at]) + 1) % 10}${text.slice(at + 1)}`;
}

/**
 * The lines that an amplifier of this profile writes for a simulated bench, with whatever goes wrong on request.
 *
 * Sample i carries sequence number i and the device time of its period's start. The chunking of `nextLines` does not
 * matter. Where the options do not say how many bits the converter has, the profile does.
 */
export function createSimulatedLines(
  options: SimulatedBenchOptions,
  profile: AmplifierProfile,
): SimulatedLines {
  const bench = createSimulatedBench({ converterBits: profile.converterBits, ...options });
  const format = createLineFormatter(profile);
  const garbageRandom = createSeededRandom(options.seed, GARBAGE_STREAM);
  const scheduled = (options.misbehaviours ?? [])
    .map(({ atS, what }) => ({ atSample: Math.round(atS * options.sampleRateHz), what }))
    .sort((one, other) => one.atSample - other.atSample);
  for (const { what } of scheduled) requirePossible(what);

  let active: { readonly kind: Disturbance; readonly untilSample: number }[] = [];
  let isUnplugged = false;
  let lastCounts = 0;

  function requirePossible(what: Misbehaviour): void {
    if (what.kind !== 'badChecksum' || profile.checksum !== 'none') return;
    throw new AppError(
      'profile-invalid',
      `Lines of the profile "${profile.name}" carry no checksum, so none can be wrong. Choose a profile with one.`,
    );
  }

  function begin(what: Misbehaviour): void {
    if (what.kind === 'unplug') {
      isUnplugged = true;
      return;
    }
    const count = 'count' in what ? what.count : Math.round(what.durationS * options.sampleRateHz);
    active.push({ kind: what.kind, untilSample: bench.sampleCount + count });
  }

  function disturb(line: SimulatedLine, kind: Disturbance): SimulatedLine {
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
      default:
        return assertNever(kind, 'A misbehaviour needs its effect on a line');
    }
  }

  /** What changes the counts comes before what happens to the line on its way. */
  const order: readonly Disturbance[] = ['rail', 'stuck', 'badChecksum', 'garbage', 'gap', 'silence'];

  function nextLine(): SimulatedLine {
    const sequence = bench.sampleCount;
    active = active.filter(({ untilSample }) => untilSample > sequence);
    const [counts = 0] = bench.nextCounts(1);
    const timeUs = Math.round((sequence * 1e6) / options.sampleRateHz);
    const plain = { sequence, timeUs, counts };
    let line: SimulatedLine = { ...plain, text: format(plain), isIntact: true };
    if (active.length > 0) {
      for (const kind of order) {
        if (active.some((disturbance) => disturbance.kind === kind)) line = disturb(line, kind);
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
      requirePossible(what);
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
