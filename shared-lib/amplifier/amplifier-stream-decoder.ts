import type { SampleBlock, SlotRange } from '../signal/sample-block.ts';
import { createSampleClock } from '../signal/sample-clock.ts';
import type { AmplifierProfile } from './amplifier-profile.ts';
import { createLineDecoder, type DecodedLine } from './decode-amplifier-line.ts';

/** What was wrong with the stream since the last take. `slot`: at or after which it was seen, null before the first sample. */
export interface StreamFault {
  readonly kind:
    | 'badLine'
    | 'badChecksum'
    | 'sequenceGap'
    | 'rail'
    | 'stuck'
    | 'segmentBreak'
    | 'duplicateLine'
    | 'beyondRails'
    | 'deviceFlag'
    | 'queueOverflow';
  readonly segment: number;
  readonly slot: number | null;
  readonly count: number;
  /** What the line says of it: the number beyond the rails, the meaning of a flag. */
  readonly detail?: string;
}

export interface StreamBatch {
  readonly blocks: readonly SampleBlock[];
  readonly faults: readonly StreamFault[];
  readonly lastBadLine: string | null;
}

export interface AmplifierStreamDecoder {
  push(line: string, arrivalUs: number): void;
  /** Lines that were dropped before they could be read, because they had no end. */
  countUnreadable(text: string): void;
  /** Everything since the last call, or null when there is nothing. */
  take(): StreamBatch | null;
}

const LONGEST_SHOWN_LINE = 120;
const STUCK_S = 1;
const STUCK_SAMPLES = 50;

/**
 * Turns lines into sample blocks and faults. Pure: time comes in with each line, nothing is dropped without a fault.
 *
 * The first line after opening is passed over: opening falls into the middle of a line as a rule, and the rest of
 * `-123456` is a credible `456`.
 */
export function createAmplifierStreamDecoder(profile: AmplifierProfile): AmplifierStreamDecoder {
  const decode = createLineDecoder(profile);
  const clock = createSampleClock(profile);
  const highRail = 2 ** (profile.converterBits - 1) - 1;
  const lowRail = -(2 ** (profile.converterBits - 1));
  const stuckSamples = Math.max(STUCK_SAMPLES, Math.ceil(STUCK_S * profile.nominalRateHz));
  const decoded: DecodedLine = { counts: 0, sequence: 0, timeUs: 0, flags: 0 };

  let isFirstLine = true;
  let segment = 0;
  let nextSlot = 0;
  let block: OpenBlock | null = null;
  let finished: SampleBlock[] = [];
  let faults: StreamFault[] = [];
  let lastBadLine: string | null = null;
  let badLines = 0;
  let badChecksums = 0;
  let rails = 0;
  let lost = 0;
  let firstLossSlot = 0;
  let previousCounts = Number.NaN;
  let sameInARow = 0;
  let hasMoved = false;

  const note = (kind: StreamFault['kind'], count: number): void => {
    faults.push({ kind, segment, slot: segment === 0 ? null : nextSlot, count });
  };

  /** One fault for all losses of a batch: a line that loses every other sample would else make thousands a second. */
  const noteLosses = (): void => {
    if (lost > 0) faults.push({ kind: 'sequenceGap', segment, slot: firstLossSlot, count: lost });
    lost = 0;
  };

  const watchForStuck = (counts: number): void => {
    if (counts !== previousCounts) {
      hasMoved ||= !Number.isNaN(previousCounts);
      previousCounts = counts;
      sameInARow = 1;
      return;
    }
    sameInARow += 1;
    if (hasMoved && sameInARow === stuckSamples) note('stuck', stuckSamples);
  };

  const startSegment = (arrivalUs: number): void => {
    if (block) finished.push(block.finish());
    block = null;
    noteLosses();
    segment += 1;
    nextSlot = 0;
    previousCounts = Number.NaN;
    sameInARow = 0;
    hasMoved = false;
    if (segment > 1) note('segmentBreak', 1);
    block = createOpenBlock(segment, 0, arrivalUs);
  };

  return {
    push(line, arrivalUs) {
      if (isFirstLine) {
        isFirstLine = false;
        return;
      }
      const problem = decode(line, decoded);
      if (problem !== null) {
        if (problem === 'badLine') badLines += 1;
        else badChecksums += 1;
        lastBadLine = line.slice(0, LONGEST_SHOWN_LINE);
        return;
      }
      const placement = clock.place(decoded, arrivalUs);
      if (placement.kind === 'repeated') {
        badLines += 1;
        lastBadLine = line.slice(0, LONGEST_SHOWN_LINE);
        return;
      }
      if (placement.kind === 'segment') startSegment(arrivalUs);
      block ??= createOpenBlock(segment, nextSlot, arrivalUs);
      if (placement.kind === 'next' && placement.slots > 1) {
        const missing = placement.slots - 1;
        if (lost === 0) firstLossSlot = nextSlot;
        lost += missing;
        block.skip(missing);
        nextSlot += missing;
      }
      block.add(decoded.counts, arrivalUs);
      nextSlot += 1;
      if (decoded.counts >= highRail || decoded.counts <= lowRail) rails += 1;
      watchForStuck(decoded.counts);
    },

    countUnreadable(text) {
      badLines += 1;
      lastBadLine = text.slice(0, LONGEST_SHOWN_LINE);
    },

    take() {
      if (block) finished.push(block.finish());
      block = null;
      noteLosses();
      if (badLines > 0) note('badLine', badLines);
      if (badChecksums > 0) note('badChecksum', badChecksums);
      if (rails > 0) note('rail', rails);
      if (finished.length === 0 && faults.length === 0) return null;
      const batch: StreamBatch = { blocks: finished, faults, lastBadLine };
      finished = [];
      faults = [];
      lastBadLine = null;
      badLines = 0;
      badChecksums = 0;
      rails = 0;
      return batch;
    },
  };
}

interface OpenBlock {
  add(counts: number, arrivalUs: number): void;
  skip(slots: number): void;
  finish(): SampleBlock;
}

function createOpenBlock(segment: number, firstSlot: number, openedUs: number): OpenBlock {
  let counts = new Int32Array(256);
  let length = 0;
  let lastArrivalUs = openedUs;
  const gaps: SlotRange[] = [];

  const makeRoom = (slots: number): void => {
    if (length + slots <= counts.length) return;
    const larger = new Int32Array(Math.max(counts.length * 2, length + slots));
    larger.set(counts.subarray(0, length));
    counts = larger;
  };

  return {
    add(value, arrivalUs) {
      makeRoom(1);
      counts[length] = value;
      length += 1;
      lastArrivalUs = arrivalUs;
    },
    skip(slots) {
      makeRoom(slots);
      gaps.push({ offset: length, length: slots });
      length += slots;
    },
    finish: () => ({ segment, firstSlot, counts: counts.slice(0, length), gaps, arrivalUs: lastArrivalUs }),
  };
}
