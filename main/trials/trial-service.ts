import type { RequestResult } from '../../shared-lib/api-contract.ts';
import type { TrialDecision, TrialFigures, TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import type { Clock } from '../platform/clock.ts';
import type { Logger } from '../platform/logger.ts';
import { writing, type WritableDatabase } from '../storage/database.ts';
import { evaluateRecording, fitRate } from '../storage/recording-evaluation.ts';
import {
  completeRecovered,
  readRecording,
  recoverUnfinished,
  type Recording,
} from '../storage/recording-repository.ts';
import { getTrial, newestFigures, recordDecision, saveEvaluation } from '../storage/trial-repository.ts';
import { createTrialCurves, type TrialCurves } from './trial-curves.ts';

export interface TrialService extends TrialCurves {
  counts(trialId: string): RequestResult<'getTrialCounts'>;
  /** Returns the trial's figures, which a decision to keep brings to light; null where it was voided unseen. */
  decide(
    trialId: string,
    decision: 'kept' | 'voided' | 'restored',
    reason: string,
    stopCause?: TrialDecision['stopCause'],
  ): TrialFigures | null;
  /** At the start: what was under way when the program ended becomes interrupted trials. */
  recover(): void;
}

export function createTrialService(tools: {
  readonly database: WritableDatabase;
  readonly clock: Clock;
  readonly log: Logger;
  readonly operator: () => string;
  readonly levelsNm: () => readonly number[];
}): TrialService {
  const { database, clock, log } = tools;
  const now = (): string => clock.now().toISOString();

  const rateOf = (record: TrialRecord, recording: Recording): number =>
    record.sampleRateHz ?? fitRate(recording, record.conditions.profile.nominalRateHz).sampleRateHz;

  const evaluate = (record: TrialRecord, recording: Recording): TrialFigures =>
    evaluateRecording(database, record, recording, {
      sampleRateHz: rateOf(record, recording),
      zeroAfterCounts: record.zeroAfterCounts,
      levelsNm: tools.levelsNm(),
    });

  const completeRecord = (trialId: string): void => {
    const { onsetSlot, conditions } = getTrial(database, trialId);
    const rate = fitRate(readRecording(database, trialId), conditions.profile.nominalRateHz);
    completeRecovered(database, trialId, { ...rate, onsetSlot, figures: null }, now());
  };

  const decide: TrialService['decide'] = (trialId, decision, reason, stopCause) => {
    const before = getTrial(database, trialId);
    const entry: TrialDecision = {
      decision,
      reason,
      figuresShown: before.figures !== null,
      stopCause: stopCause ?? null,
      operator: tools.operator(),
      at: now(),
    };
    // A trial that was cut short is measured when somebody decides to keep it; what cannot be measured stays undecided.
    const figures =
      decision === 'kept' && newestFigures(database, trialId) === null
        ? evaluate(before, readRecording(database, trialId))
        : null;
    writing(database, () => {
      recordDecision(database, trialId, entry);
      if (figures) saveEvaluation(database, trialId, figures, now());
    });
    return getTrial(database, trialId).figures;
  };

  return {
    ...createTrialCurves(
      database,
      (record) => record.sampleRateHz ?? rateOf(record, readRecording(database, record.summary.id)),
    ),
    decide,

    recover() {
      for (const trialId of recoverUnfinished(database, now())) {
        try {
          completeRecord(trialId);
        } catch (cause) {
          // It stays an interrupted trial; whoever opens it is told what is wrong with its samples.
          log.error('A trial could not be completed after the program had ended', {
            code: 'storage-failed',
            cause,
          });
        }
      }
    },

    counts(trialId) {
      const { counts, gaps } = readRecording(database, trialId);
      return {
        trialId,
        counts,
        gaps: Int32Array.from(gaps.flatMap(({ offset, length }) => [offset, length])),
      };
    },
  };
}
