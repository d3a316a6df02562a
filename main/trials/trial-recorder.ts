import { evaluateTrial } from '../../shared-lib/trial/evaluate-trial.ts';
import { fitSampleClock } from '../../shared-lib/signal/fit-sample-clock.ts';
import { countLostSlots, type SampleBlock } from '../../shared-lib/signal/sample-block.ts';
import type { FaultEvent, InterruptionReason, TrialFigures } from '../../shared-lib/trial/trial-model.ts';
import type { RecordingOutcome } from '../../shared-lib/trial/trial-state.ts';
import type { LiveFault } from '../amplifier/amplifier-session.ts';
import type { Clock } from '../platform/clock.ts';
import type { Logger } from '../platform/logger.ts';
import { writing, type WritableDatabase } from '../storage/database.ts';
import {
  appendBlock,
  appendFault,
  beginTrial,
  finishRecording,
  readRecording,
  type StoredBlock,
} from '../storage/recording-repository.ts';
import { interruptionSentence } from './interruption-sentence.ts';
import type { ArmedTrial } from './armed-trial.ts';

export type FinishedRecord =
  | { readonly kind: 'complete'; readonly figures: TrialFigures }
  | { readonly kind: 'interrupted'; readonly sentence: string };

export interface TrialRecorder {
  /** Everything from the first block on is durable when this returns; so it is for `append`. */
  begin(armed: ArmedTrial, onsetSlot: number, blocks: readonly SampleBlock[]): void;
  /** The first slot of the live segment that is not stored yet. */
  nextSlot(): number;
  append(blocks: readonly SampleBlock[]): void;
  /** Stored with the next block, by `storeFaults` or at the end: a bad line must not cost a commit for each fault. */
  noteFault(fault: LiveFault): void;
  storeFaults(): void;
  finish(outcome: RecordingOutcome, zeroAfterCounts: number | null): FinishedRecord;
  /** Writing failed: the open record becomes an interrupted trial as soon as the disk takes it, see `settle`. */
  abandon(): void;
  /** Ends abandoned records as far as writing works again; to be called now and then. */
  settle(): void;
}

const SETTLE_INTERVAL_US = 2_000_000;

interface OpenRecord {
  readonly armed: ArmedTrial;
  readonly firstSlot: number;
  readonly onsetSlot: number;
  readonly faults: FaultEvent[];
  storedFaults: number;
  nextSlot: number;
  lostSlots: number;
}

/** Writes one trial at a time: blocks as they come, and at the end what was measured and how good it is. */
export function createTrialRecorder(
  tools: {
    readonly clock: Clock;
    readonly log: Logger;
    readonly database: WritableDatabase;
    readonly operator: () => string;
    readonly levelsNm: () => readonly number[];
  },
  onTrialChanged: (trialId: string) => void,
): TrialRecorder {
  const { clock, database } = tools;
  let open: OpenRecord | null = null;
  const abandoned: OpenRecord[] = [];
  let nextSettleUs = 0;

  const current = (): OpenRecord => {
    if (!open) throw new Error('There is no open record');
    return open;
  };

  const stored = (record: OpenRecord, block: SampleBlock): StoredBlock => ({
    firstSlot: block.firstSlot - record.firstSlot,
    counts: block.counts,
    gaps: block.gaps,
    arrivalUs: block.arrivalUs,
  });

  const advance = (record: OpenRecord, block: SampleBlock): void => {
    record.nextSlot = block.firstSlot + block.counts.length;
    record.lostSlots += countLostSlots(block.gaps);
  };

  const seconds = (record: OpenRecord, slot: number): number =>
    (slot - record.firstSlot) / record.armed.sampleRateHz;

  return {
    begin(armed, onsetSlot, blocks) {
      const first = blocks[0];
      if (!first) throw new Error('A record begins without samples');
      const record: OpenRecord = {
        armed,
        firstSlot: first.firstSlot,
        onsetSlot,
        faults: [],
        storedFaults: 0,
        nextSlot: first.firstSlot,
        lostSlots: 0,
      };
      beginTrial(
        database,
        {
          id: armed.plan.trialId,
          sessionId: armed.sessionId,
          startedAt: clock.now().toISOString(),
          step: armed.plan.step,
          conditions: armed.conditions,
          onsetSlot: onsetSlot - record.firstSlot,
          isSimulated: armed.conditions.transducer.isSimulated,
        },
        blocks.map((block) => stored(record, block)),
      );
      for (const block of blocks) advance(record, block);
      open = record;
      onTrialChanged(armed.plan.trialId);
    },

    nextSlot: () => current().nextSlot,

    append(blocks) {
      const record = current();
      writing(database, () => {
        for (const block of blocks) appendBlock(database, record.armed.plan.trialId, stored(record, block));
        insertNewFaults(record);
      });
      record.storedFaults = record.faults.length;
      for (const block of blocks) advance(record, block);
    },

    noteFault(fault) {
      const record = current();
      record.faults.push({
        kind: fault.kind,
        at: clock.now().toISOString(),
        atS: seconds(record, fault.slot ?? record.nextSlot),
        count: fault.count,
        sentence: fault.sentence,
      });
    },

    storeFaults() {
      storeFaultsOf(current());
    },

    finish(outcome, zeroAfterCounts) {
      const record = current();
      const { armed } = record;
      const { trialId, step } = armed.plan;
      storeFaultsOf(record);
      const recording = readRecording(database, trialId);
      const fit = fitSampleClock(recording.marks);
      const sampleRateHz = fit?.sampleRateHz ?? armed.sampleRateHz;
      const common = {
        zeroAfterCounts,
        sampleRateHz,
        rateResidualUs: fit?.residualUs ?? null,
        onsetSlot: record.onsetSlot - record.firstSlot,
      };
      if (outcome !== 'complete') {
        const sentence = interruptionSentence(
          outcome,
          (record.nextSlot - record.onsetSlot) / armed.sampleRateHz,
          record.nextSlot - record.firstSlot - record.lostSlots,
        );
        finishInterrupted(trialId, outcome, sentence, common);
        open = null;
        return { kind: 'interrupted', sentence };
      }
      const figures = evaluateTrial({
        counts: recording.counts,
        gaps: recording.gaps,
        sampleRateHz,
        conditions: armed.conditions,
        calibration: armed.calibration,
        step,
        levelsNm: [...tools.levelsNm()],
        zeroAfterCounts,
        faults: record.faults,
      });
      const isGood = figures.quality.verdict === 'good';
      finishRecording(database, trialId, {
        ...common,
        state: isGood ? 'kept' : 'reviewing',
        interruption: null,
        figures,
        decision: isGood
          ? {
              decision: 'kept',
              reason: 'Kept by itself: quality good, figures not shown before.',
              figuresShown: false,
              operator: tools.operator(),
              at: clock.now().toISOString(),
            }
          : null,
        finishedAt: clock.now().toISOString(),
      });
      open = null;
      onTrialChanged(trialId);
      return { kind: 'complete', figures };
    },

    abandon() {
      if (open) abandoned.push(open);
      open = null;
      nextSettleUs = clock.monotonicUs() + SETTLE_INTERVAL_US;
    },

    settle() {
      const [record] = abandoned;
      if (!record || clock.monotonicUs() < nextSettleUs) return;
      nextSettleUs = clock.monotonicUs() + SETTLE_INTERVAL_US;
      const { trialId } = record.armed.plan;
      try {
        storeFaultsOf(record);
        const fit = fitSampleClock(readRecording(database, trialId).marks);
        finishInterrupted(trialId, 'storageFailed', 'The samples could not be written any more.', {
          zeroAfterCounts: null,
          sampleRateHz: fit?.sampleRateHz ?? record.armed.sampleRateHz,
          rateResidualUs: fit?.residualUs ?? null,
          onsetSlot: record.onsetSlot - record.firstSlot,
        });
        abandoned.shift();
      } catch (cause) {
        tools.log.warn('An interrupted trial still cannot be written', { code: 'storage-failed', cause });
      }
    },
  };

  function storeFaultsOf(record: OpenRecord): void {
    if (record.storedFaults === record.faults.length) return;
    writing(database, () => {
      insertNewFaults(record);
    });
    record.storedFaults = record.faults.length;
  }

  function insertNewFaults({ armed, faults, storedFaults }: OpenRecord): void {
    for (const fault of faults.slice(storedFaults)) appendFault(database, armed.plan.trialId, fault);
  }

  function finishInterrupted(
    trialId: string,
    outcome: InterruptionReason,
    sentence: string,
    common: {
      zeroAfterCounts: number | null;
      sampleRateHz: number;
      rateResidualUs: number | null;
      onsetSlot: number;
    },
  ): void {
    finishRecording(database, trialId, {
      ...common,
      state: 'interrupted',
      interruption: outcome,
      figures: null,
      decision: {
        decision: 'interrupted',
        reason: sentence,
        figuresShown: false,
        operator: tools.operator(),
        at: clock.now().toISOString(),
      },
      finishedAt: clock.now().toISOString(),
    });
    onTrialChanged(trialId);
  }
}
