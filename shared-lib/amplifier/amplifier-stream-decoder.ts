import type { SampleBlock, SlotRange } from '../signal/sample-block.ts';
import { createSampleClock } from '../signal/sample-clock.ts';
import { STUCK_S, STUCK_SAMPLES } from '../signal/stuck-limits.ts';
import type { AmplifierProfile } from './amplifier-profile.ts';
import { createLineDecoder, type DecodedLine } from './decode-amplifier-line.ts';
import { createFlagWatch } from './flag-watch.ts';

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
  /**
   * What is known of it beyond its count: the first number beyond the rails, the meaning of a flag, why a segment could not
   * go on.
   */
  readonly detail?: string;
}

export interface StreamBatch {
  readonly blocks: readonly SampleBlock[];
  readonly faults: readonly StreamFault[];
  /** Faults that the amplifier told of itself in its last line, by their meaning, whenever they were first told. */
  readonly standingFlags: readonly string[];
  readonly lastBadLine: string | null;
}

export interface AmplifierStreamDecoder {
  push(line: string, arrivalUs: number): void;
  /** Lines that were dropped before they could be read, because they had no end. */
  countUnreadable(text: string): void;
  /** Nothing is joined across this: the next line begins a new segment. */
  breakSegment(): void;
  /** Everything since the last call, or null when there is nothing. */
  take(): StreamBatch | null;
}

const LONGEST_SHOWN_LINE = 120;
/** A sequence that makes no sense breaks a segment with every line, thousands of times a second. */
const MOST_SINGLE_FAULTS = 8;

/**
 * Turns lines into sample blocks and faults. Pure: time comes in with each line.
 *
 * Every line is either a sample or counted in one fault (badLine, badChecksum, duplicateLine, beyondRails), except the
 * first after opening, which is passed over: opening falls into the middle of a line as a rule, and the rest of `-123456`
 * is a credible `456`. Every slot is a sample, or empty and counted in one fault (sequenceGap, beyondRails). Both hold
 * however often the batches are taken, and the samples are then the same.
 *
 * Faults come once per batch, segment and kind with their number; segmentBreak and stuck each time. deviceFlag comes once
 * per batch, segment and bit that became set there; its count is the number of samples there with the bit set. A bit that
 * stays set is not told again, but stands in `standingFlags` of each batch. Of a batch with very many faults, those of one kind
 * are told together, as of the place and detail of the last that was told singly.
 */
export function createAmplifierStreamDecoder(profile: AmplifierProfile): AmplifierStreamDecoder {
  const decode = createLineDecoder(profile);
  const clock = createSampleClock(profile);
  const flagWatch = createFlagWatch(profile.statusFlags);
  const highRail = 2 ** (profile.converterBits - 1) - 1;
  const lowRail = -(2 ** (profile.converterBits - 1));
  const decoded: DecodedLine = { counts: 0, sequence: 0, timeUs: 0, flags: 0 };

  let isFirstLine = true;
  let segment = 0;
  let nextSlot = 0;
  let block: OpenBlock | null = null;
  let finished: SampleBlock[] = [];
  let faults: StreamFault[] = [];
  let lastBadLine: string | null = null;
  let tally = noTally();
  let previousCounts = Number.NaN;
  let sameInARow = 0;
  let sameSinceUs = 0;
  let isStuckTold = false;
  let hasMoved = false;

  const note = (kind: StreamFault['kind'], count: number, more: Partial<StreamFault> = {}): void => {
    const isAlike = (fault: StreamFault): boolean =>
      fault.kind === kind && (kind !== 'deviceFlag' || fault.detail === more.detail);
    const alike = faults.length < MOST_SINGLE_FAULTS ? -1 : faults.findLastIndex(isAlike);
    const before = faults[alike];
    if (before) faults[alike] = { ...before, count: before.count + count };
    else faults.push({ kind, segment, slot: segment === 0 ? null : nextSlot, count, ...more });
  };

  /** One fault of each kind: a line that loses every other sample would else make thousands a second. */
  const noteTally = (): void => {
    if (tally.lost > 0) note('sequenceGap', tally.lost, { slot: tally.firstLossSlot });
    if (tally.beyond > 0) {
      note('beyondRails', tally.beyond, {
        slot: tally.firstBeyondSlot,
        detail: String(tally.firstBeyondCounts),
      });
    }
    for (const { count, slot, detail } of flagWatch.takeRaised()) note('deviceFlag', count, { slot, detail });
    if (tally.badLines > 0) note('badLine', tally.badLines);
    if (tally.badChecksums > 0) note('badChecksum', tally.badChecksums);
    if (tally.duplicates > 0) note('duplicateLine', tally.duplicates);
    if (tally.rails > 0) note('rail', tally.rails);
    tally = noTally();
  };

  const finishBlock = (): void => {
    if (block) finished.push(block.finish());
    block = null;
    noteTally();
  };

  const watchForStuck = (counts: number, arrivalUs: number): void => {
    if (counts !== previousCounts) {
      hasMoved ||= !Number.isNaN(previousCounts);
      previousCounts = counts;
      sameInARow = 1;
      sameSinceUs = arrivalUs;
      isStuckTold = false;
      return;
    }
    sameInARow += 1;
    if (!hasMoved || isStuckTold || sameInARow < STUCK_SAMPLES) return;
    if (arrivalUs - sameSinceUs < STUCK_S * 1e6) return;
    isStuckTold = true;
    note('stuck', sameInARow);
  };

  const startSegment = (reason: string | null): void => {
    finishBlock();
    segment += 1;
    nextSlot = 0;
    previousCounts = Number.NaN;
    sameInARow = 0;
    hasMoved = false;
    if (segment > 1) note('segmentBreak', 1, reason === null ? {} : { detail: reason });
  };

  const leaveEmpty = (slots: number, open: OpenBlock, arrivalUs: number): void => {
    open.skip(slots, arrivalUs);
    nextSlot += slots;
  };

  return {
    push(line, arrivalUs) {
      if (isFirstLine) {
        isFirstLine = false;
        return;
      }
      const problem = decode(line, decoded);
      if (problem === 'badLine' || problem === 'badChecksum') {
        if (problem === 'badLine') tally.badLines += 1;
        else tally.badChecksums += 1;
        lastBadLine = line.slice(0, LONGEST_SHOWN_LINE);
        return;
      }
      const placement = clock.place(decoded, arrivalUs);
      if (placement.kind === 'repeated') {
        tally.duplicates += 1;
        return;
      }
      if (placement.kind === 'segment') startSegment(placement.reason);
      block ??= createOpenBlock(segment, nextSlot, arrivalUs);
      if (placement.kind === 'next' && placement.slots > 1) {
        if (tally.lost === 0) tally.firstLossSlot = nextSlot;
        tally.lost += placement.slots - 1;
        leaveEmpty(placement.slots - 1, block, arrivalUs);
      }
      flagWatch.see(decoded.flags, nextSlot);
      if (problem === 'beyondRails') {
        if (tally.beyond === 0) {
          tally.firstBeyondSlot = nextSlot;
          tally.firstBeyondCounts = decoded.counts;
        }
        tally.beyond += 1;
        leaveEmpty(1, block, arrivalUs);
        return;
      }
      block.add(decoded.counts, arrivalUs);
      nextSlot += 1;
      if (decoded.counts >= highRail || decoded.counts <= lowRail) tally.rails += 1;
      watchForStuck(decoded.counts, arrivalUs);
    },

    countUnreadable(text) {
      tally.badLines += 1;
      lastBadLine = text.slice(0, LONGEST_SHOWN_LINE);
    },

    breakSegment() {
      clock.breakSegment();
    },

    take() {
      finishBlock();
      if (finished.length === 0 && faults.length === 0) return null;
      const batch: StreamBatch = {
        blocks: finished,
        faults,
        standingFlags: flagWatch.standing(),
        lastBadLine,
      };
      finished = [];
      faults = [];
      lastBadLine = null;
      return batch;
    },
  };
}

/** What is told once, with its number, for all lines of a batch that lie in one segment. */
const noTally = () => ({
  badLines: 0,
  badChecksums: 0,
  duplicates: 0,
  rails: 0,
  lost: 0,
  firstLossSlot: 0,
  beyond: 0,
  firstBeyondSlot: 0,
  firstBeyondCounts: 0,
});

interface OpenBlock {
  add(counts: number, arrivalUs: number): void;
  skip(slots: number, arrivalUs: number): void;
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
    skip(slots, arrivalUs) {
      makeRoom(slots);
      const before = gaps.at(-1);
      if (before && before.offset + before.length === length) {
        gaps[gaps.length - 1] = { offset: before.offset, length: before.length + slots };
      } else {
        gaps.push({ offset: length, length: slots });
      }
      length += slots;
      lastArrivalUs = arrivalUs;
    },
    finish: () => ({ segment, firstSlot, counts: counts.slice(0, length), gaps, arrivalUs: lastArrivalUs }),
  };
}
