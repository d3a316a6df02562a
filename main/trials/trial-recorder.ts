import { AppError } from '../../shared-lib/app-error.ts';
import type { SampleBlock } from '../../shared-lib/signal/sample-block.ts';
import type { TrialFigures } from '../../shared-lib/trial/trial-model.ts';
import type { RecordingOutcome } from '../../shared-lib/trial/trial-state.ts';
import type { LiveFault } from '../amplifier/live-fault.ts';
import type { Clock } from '../platform/clock.ts';
import type { Logger } from '../platform/logger.ts';
import { withinLimit } from '../platform/within-limit.ts';
import type { RecordEnding } from '../storage/recording-commands.ts';
import type { StoredBlock } from '../storage/recording-repository.ts';
import type { ArmedTrial } from './armed-trial.ts';
import { interruptionAdvice } from './interruption-sentence.ts';
import {
  atOnset,
  nextBlocks,
  openRecord,
  type OpenRecord,
  sentenceOf,
  takeBlocks,
  toFaultEvent,
  toNewTrial,
  toStored,
} from './open-record.ts';
import type { RecordingWriter } from './recording-writer.ts';

export type FinishedRecord =
  | { readonly kind: 'complete'; readonly figures: TrialFigures }
  /** `sentence`: what is stored, and what to do now. */
  | { readonly kind: 'interrupted'; readonly sentence: string };

export interface RecorderListeners {
  onTrialChanged(trialId: string): void;
  onFinished(finished: FinishedRecord): void;
  /** Nothing more comes of the open record, which ends as interrupted as soon as the disk takes it. */
  onFailed(failure: 'recordNotBegun' | 'persistFailed'): void;
  /** What is wrong with the writing, and null once it goes on. */
  onTrouble(sentence: string | null): void;
}

export interface TrialRecorder {
  /** `faults`: what fell into the blocks, and without a slot what lasts since before the record. */
  begin(
    armed: ArmedTrial,
    onsetSlot: number,
    blocks: readonly SampleBlock[],
    faults: readonly LiveFault[],
  ): void;
  /** The first slot of the live segment that the record does not have yet. */
  nextSlot(): number;
  append(blocks: readonly SampleBlock[]): void;
  /** Stored with the next block or tick: a bad line must not cost a commit for each fault. */
  noteFault(fault: LiveFault): void;
  finish(outcome: RecordingOutcome, zeroAfterCounts: number | null): void;
  /** To be called some twenty times a second: faults without samples, a disk that hangs, records to be ended later. */
  tick(): void;
  /** Writes what is there, for two seconds at most, and ends the writer. */
  close(): Promise<void>;
}

/** A trial of 120 s at 100 kSa/s has 48 MB: who is this far behind does not catch up. */
const MOST_WAITING_BYTES = 256 * 2 ** 20;
const SETTLE_INTERVAL_US = 2_000_000;
const HANGING_US = 2_000_000;
const CLOSE_LIMIT_MS = 2000;

/**
 * Hands one trial at a time to the writer thread, in order: one command on the way, and what comes meanwhile joined into
 * the next, so that a disk that stalls has fewer and larger commits and nothing is lost.
 */
export function createTrialRecorder(
  tools: {
    readonly clock: Clock;
    readonly log: Logger;
    readonly writer: RecordingWriter;
    readonly operator: () => string;
    readonly levelsNm: () => readonly number[];
    /** Other than the program's own only in tests. */
    readonly mostWaitingBytes?: number;
  },
  listeners: RecorderListeners,
): TrialRecorder {
  const { clock, log, writer, mostWaitingBytes = MOST_WAITING_BYTES } = tools;
  let open: OpenRecord | null = null;
  let abandoned: OpenRecord[] = [];
  let nextSettleUs = 0;
  let isTroubleTold = false;
  let idleWaiters: (() => void)[] = [];

  const now = (): string => clock.now().toISOString();

  const current = (): OpenRecord => {
    if (!open) throw new Error('There is no open record');
    return open;
  };

  const tellTrouble = (sentence: string | null): void => {
    isTroubleTold = sentence !== null;
    listeners.onTrouble(sentence);
  };

  /** Sends the next command of a record that has none on the way. */
  const pump = (record: OpenRecord): void => {
    if (record.sentUs !== null) return;
    const { trialId } = record.armed.plan;
    const sentBlocks = nextBlocks(record);
    const sentFaults = [...record.faults];
    const isAnythingNew = sentBlocks.length > 0 || sentFaults.length > 0;
    const blocks = (): StoredBlock[] => sentBlocks.map((block) => toStored(record, block));
    const stored = (): void => {
      record.isBegun = true;
      record.isRepeat = false;
      record.faults.splice(0, sentFaults.length);
      record.storedFaults += sentFaults.length;
      record.blocks = record.blocks.slice(sentBlocks.length);
      record.waitingBytes -= sentBlocks.reduce((sum, { counts }) => sum + counts.byteLength, 0);
    };

    if (!record.isBegun && !record.isRepeat) {
      const command = {
        type: 'begin',
        trial: toNewTrial(record),
        blocks: blocks(),
        faults: sentFaults,
      } as const;
      send(record, writer.perform<'begin'>(command), () => {
        stored();
        listeners.onTrialChanged(trialId);
      });
    } else if (isAnythingNew) {
      const command = {
        type: 'append',
        trialId,
        blocks: blocks(),
        faults: sentFaults,
        faultsBefore: record.storedFaults,
        isRepeat: record.isRepeat,
      } as const;
      send(record, writer.perform<'append'>(command), stored);
    } else if (record.ending) {
      const { ending } = record;
      const command = { type: 'finish', trialId, ending } as const;
      send(record, writer.perform<'finish'>(command), ({ figures }) => {
        closeRecord(record, ending, figures);
      });
    }
  };

  const send = <Result>(
    record: OpenRecord,
    answer: Promise<Result>,
    onDone: (result: Result) => void,
  ): void => {
    record.sentUs = clock.monotonicUs();
    void answer.then(
      (result) => {
        record.sentUs = null;
        // Of a record given up meanwhile it is only noted what is stored of it.
        const isOpen = open === record;
        if (isOpen && isTroubleTold) tellTrouble(null);
        onDone(result);
        if (open === record || isSettling(record)) pump(record);
      },
      (cause: unknown) => {
        record.sentUs = null;
        record.isRepeat = true;
        if (open === record) fail(record, cause);
        else giveBack(record, cause);
      },
    );
  };

  const closeRecord = (record: OpenRecord, ending: RecordEnding, figures: TrialFigures | null): void => {
    const isOpen = open === record;
    if (isOpen) open = null;
    abandoned = abandoned.filter((other) => other !== record);
    listeners.onTrialChanged(record.armed.plan.trialId);
    if (isOpen) listeners.onFinished(toFinished(ending, figures));
    releaseIdle();
  };

  const fail = (record: OpenRecord, cause: unknown): void => {
    log.error('Measured data could not be written', { code: 'storage-failed', cause });
    open = null;
    record.ending = null;
    abandoned.push(record);
    nextSettleUs = clock.monotonicUs() + SETTLE_INTERVAL_US;
    tellTrouble(
      cause instanceof AppError ? cause.message : 'Measured data could not be written; the log says more.',
    );
    listeners.onFailed(record.isBegun ? 'persistFailed' : 'recordNotBegun');
    releaseIdle();
  };

  /** An abandoned record could not be ended this time either. */
  const giveBack = (record: OpenRecord, cause: unknown): void => {
    record.ending = null;
    if (cause instanceof AppError && cause.code === 'invalid-state') {
      // Its end was stored and only the answer stayed out, so that the trial is another one than was shown.
      abandoned = abandoned.filter((other) => other !== record);
      listeners.onTrialChanged(record.armed.plan.trialId);
    } else {
      // Its beginning did not get through either; all of it is here still.
      if (cause instanceof AppError && cause.code === 'trial-not-found') record.isRepeat = record.isBegun;
      log.warn('An interrupted trial still cannot be written', { code: 'storage-failed', cause });
      // Behind the others, which may be sound.
      abandoned = [...abandoned.filter((other) => other !== record), record];
    }
    releaseIdle();
  };

  const isSettling = (record: OpenRecord): boolean => abandoned.includes(record) && record.ending !== null;

  /** Writes what is left of the oldest abandoned record and ends it. */
  const settle = (): void => {
    const [record] = abandoned;
    if (!record || record.sentUs !== null) return;
    record.ending ??= toEnding(record, 'storageFailed', null);
    pump(record);
  };

  const toEnding = (
    record: OpenRecord,
    outcome: RecordingOutcome,
    zeroAfterCounts: number | null,
  ): RecordEnding => ({
    outcome,
    sentence: outcome === 'complete' ? '' : sentenceOf(record, outcome),
    zeroAfterCounts,
    expectedRateHz: record.armed.sampleRateHz,
    onsetSlot: record.onsetSlot - record.firstSlot,
    levelsNm: tools.levelsNm(),
    operator: tools.operator(),
    at: now(),
  });

  const releaseIdle = (): void => {
    if (open ?? abandoned.find((record) => isSettling(record))) return;
    for (const release of idleWaiters) release();
    idleWaiters = [];
  };

  const idle = (): Promise<void> =>
    new Promise((resolve) => {
      idleWaiters.push(resolve);
      releaseIdle();
    });

  return {
    begin(armed, onsetSlot, blocks, faults) {
      const first = blocks[0];
      if (!first) throw new Error('A record begins without samples');
      const record = openRecord(atOnset(armed, clock.monotonicUs()), first.firstSlot, onsetSlot, now());
      for (const fault of faults) {
        record.faults.push(toFaultEvent(record, fault, fault.slot ?? first.firstSlot, now()));
      }
      takeBlocks(record, blocks);
      open = record;
      pump(record);
    },

    nextSlot: () => current().nextSlot,

    append(blocks) {
      const record = current();
      takeBlocks(record, blocks);
      if (record.waitingBytes > mostWaitingBytes) fail(record, fallenBehind());
      else pump(record);
    },

    noteFault(fault) {
      const record = current();
      record.faults.push(toFaultEvent(record, fault, fault.slot ?? record.nextSlot, now()));
    },

    finish(outcome, zeroAfterCounts) {
      const record = current();
      record.ending = toEnding(record, outcome, zeroAfterCounts);
      pump(record);
    },

    tick() {
      const nowUs = clock.monotonicUs();
      if (open) {
        pump(open);
        if (open.sentUs !== null && nowUs - open.sentUs > HANGING_US && !isTroubleTold) {
          tellTrouble(hangingSentence);
        }
      } else if (nowUs >= nextSettleUs) {
        nextSettleUs = nowUs + SETTLE_INTERVAL_US;
        settle();
      }
    },

    async close() {
      const untilMs = performance.now() + CLOSE_LIMIT_MS;
      const leftMs = (): number => Math.max(0, untilMs - performance.now());
      let isIdle = await withinLimit(idle(), leftMs());
      // Each of them once more, since nobody tries again after this; and again where that only found that it was never begun.
      for (let left = 2 * abandoned.length; isIdle && left > 0 && abandoned.length > 0; left -= 1) {
        settle();
        isIdle = await withinLimit(idle(), leftMs());
      }
      await writer.close(leftMs());
    },
  };
}

const hangingSentence =
  'The disk has not answered for 2 s. What is measured meanwhile waits in memory and is written when the disk goes on; if the power fails before, it is lost. Let the run end, then check the disk.';

function fallenBehind(): AppError {
  return new AppError(
    'storage-failed',
    'The disk has fallen so far behind that the recording was stopped. What is still in memory is written when the disk goes on; leave the program running, and check the disk.',
  );
}

function toFinished({ outcome, sentence }: RecordEnding, figures: TrialFigures | null): FinishedRecord {
  if (outcome !== 'complete') {
    return { kind: 'interrupted', sentence: `${sentence} ${interruptionAdvice(outcome)}` };
  }
  if (!figures) throw new Error('A whole recording was stored without figures');
  return { kind: 'complete', figures };
}
