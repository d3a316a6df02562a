import { countLostSlots, type SampleBlock } from '../../shared-lib/signal/sample-block.ts';
import type { FaultEvent, InterruptionReason } from '../../shared-lib/trial/trial-model.ts';
import type { LiveFault } from '../amplifier/live-fault.ts';
import type { RecordEnding } from '../storage/recording-commands.ts';
import type { NewTrial, StoredBlock } from '../storage/recording-repository.ts';
import type { ArmedTrial } from './armed-trial.ts';
import { interruptionSentence } from './interruption-sentence.ts';

/** Copied in one go, so that joining what waited does not hold up main; the writer needs some milliseconds for it. */
const COMMIT_BYTES = 4 * 2 ** 20;

/** A record as main holds it until all of it is on the disk. */
export interface OpenRecord {
  readonly armed: ArmedTrial;
  readonly firstSlot: number;
  readonly onsetSlot: number;
  readonly startedAt: string;
  /** Not known to be on the disk, in order. */
  blocks: SampleBlock[];
  waitingBytes: number;
  /** Not known to be on the disk; those of an hour would be many. */
  readonly faults: FaultEvent[];
  /** How many are. */
  storedFaults: number;
  nextSlot: number;
  lostSlots: number;
  isBegun: boolean;
  /** When the command was sent that is not answered yet. */
  sentUs: number | null;
  /** An answer stayed out: what was sent may be stored or not. */
  isRepeat: boolean;
  ending: RecordEnding | null;
}

export function openRecord(
  armed: ArmedTrial,
  firstSlot: number,
  onsetSlot: number,
  startedAt: string,
): OpenRecord {
  return {
    armed,
    firstSlot,
    onsetSlot,
    startedAt,
    blocks: [],
    waitingBytes: 0,
    faults: [],
    storedFaults: 0,
    nextSlot: firstSlot,
    lostSlots: 0,
    isBegun: false,
    sentUs: null,
    isRepeat: false,
    ending: null,
  };
}

/** The rest ends with the onset, not with the arming before it. */
export function atOnset(armed: ArmedTrial, nowUs: number): ArmedTrial {
  if (armed.lastPullEndedUs == null) return armed;
  const restedS = (nowUs - armed.lastPullEndedUs) / 1e6;
  return { ...armed, conditions: { ...armed.conditions, restedS } };
}

export function takeBlocks(record: OpenRecord, blocks: readonly SampleBlock[]): void {
  for (const block of blocks) {
    record.blocks.push(block);
    record.waitingBytes += block.counts.byteLength;
    record.nextSlot = block.firstSlot + block.counts.length;
    record.lostSlots += countLostSlots(block.gaps);
  }
}

/** As many of the oldest blocks as one commit takes, at least one where there is one. */
export function nextBlocks({ blocks }: OpenRecord): readonly SampleBlock[] {
  let bytes = 0;
  const end = blocks.findIndex(({ counts }, index) => {
    bytes += counts.byteLength;
    return index > 0 && bytes > COMMIT_BYTES;
  });
  return blocks.slice(0, end === -1 ? undefined : end);
}

/** With a copy of the counts: the live curve goes on with its own, and these are handed over to the thread. */
export function toStored({ firstSlot }: OpenRecord, block: SampleBlock): StoredBlock {
  return {
    firstSlot: block.firstSlot - firstSlot,
    counts: block.counts.slice(),
    gaps: block.gaps,
    arrivalUs: block.arrivalUs,
  };
}

export function toNewTrial({ armed, firstSlot, onsetSlot, startedAt }: OpenRecord): NewTrial {
  return {
    id: armed.plan.trialId,
    sessionId: armed.sessionId,
    startedAt,
    step: armed.plan.step,
    conditions: armed.conditions,
    onsetSlot: onsetSlot - firstSlot,
    isSimulated: armed.conditions.transducer.isSimulated,
  };
}

export function toFaultEvent(record: OpenRecord, fault: LiveFault, slot: number, at: string): FaultEvent {
  return {
    kind: fault.kind,
    at,
    atS: (slot - record.firstSlot) / record.armed.sampleRateHz,
    count: fault.count,
    sentence: fault.sentence,
  };
}

export function sentenceOf(record: OpenRecord, reason: InterruptionReason): string {
  return interruptionSentence(
    reason,
    (record.nextSlot - record.onsetSlot) / record.armed.sampleRateHz,
    record.nextSlot - record.firstSlot - record.lostSlots,
  );
}
