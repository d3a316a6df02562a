import type { RequestParams, RequestResult } from '../../shared-lib/api-contract.ts';
import { createTorqueConverter } from '../../shared-lib/calibration/apply-calibration.ts';
import { readingCalibrationId } from '../../shared-lib/trial/assignment.ts';
import { displayCurve } from '../../shared-lib/signal/butterworth.ts';
import { reduceMinMax } from '../../shared-lib/signal/fold-live-bins.ts';
import { measuringCurve, measuringWindowSamples } from '../../shared-lib/signal/measuring-curve.ts';
import type { TrialDecision, TrialFigures, TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import type { Clock } from '../platform/clock.ts';
import type { Logger } from '../platform/logger.ts';
import { getCalibration } from '../storage/calibration-repository.ts';
import { writing, type WritableDatabase } from '../storage/database.ts';
import { evaluateRecording, fitRate } from '../storage/recording-evaluation.ts';
import {
  completeRecovered,
  readRecording,
  recoverUnfinished,
  type Recording,
} from '../storage/recording-repository.ts';
import { getTrial, newestFigures, recordDecision, saveEvaluation } from '../storage/trial-repository.ts';

export interface TrialService {
  curve(request: RequestParams<'getTrialCurve'>): RequestResult<'getTrialCurve'>;
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

    curve({ trialId, fromS, toS, bins }) {
      const record = getTrial(database, trialId);
      const recording = readRecording(database, trialId);
      const sampleRateHz = rateOf(record, recording);
      const converter = createTorqueConverter({
        calibration: getCalibration(database, readingCalibrationId(record)),
        zeroCounts: record.conditions.zeroCounts,
        senseSign: record.conditions.transducer.senseSign,
      });
      const torqueNm = converter.convertBlock(recording.counts, recording.gaps);
      const timeS = (slot: number): number => (slot - record.onsetSlot) / sampleRateHz;
      const slotAt = (atS: number | null, otherwise: number): number =>
        atS === null
          ? otherwise
          : Math.min(torqueNm.length, Math.max(0, Math.round(atS * sampleRateHz + record.onsetSlot)));
      const fromSlot = slotAt(fromS, 0);
      const toSlot = Math.max(fromSlot, slotAt(toS, torqueNm.length));
      const binCount = Math.max(1, Math.min(bins, toSlot - fromSlot));
      const raw = reduceMinMax(torqueNm, fromSlot, toSlot, binCount);
      const display = displayCurve(torqueNm, sampleRateHz);
      const windowSamples = measuringWindowSamples(record.conditions.profile.nominalRateHz);
      const measuring = windowSamples === null ? null : measuringCurve(torqueNm, windowSamples);
      const picked = everyNth(fromSlot, toSlot, bins);
      return {
        trialId,
        sampleRateHz,
        startS: timeS(0),
        endS: timeS(torqueNm.length - 1),
        binStartS: timeS(fromSlot),
        binWidthS: (toSlot - fromSlot) / binCount / sampleRateHz,
        minNm: Float64Array.from(raw.min),
        maxNm: Float64Array.from(raw.max),
        displayNm: pick(display, picked),
        displayTimeS: display ? picked.map(timeS) : new Float64Array(0),
        measuringNm: pick(measuring, picked),
        measuringTimeS: measuring ? picked.map(timeS) : new Float64Array(0),
      };
    },
  };
}

/** Evenly spaced slots of a smooth curve, at most so many: what is smooth over 20 ms needs no extremes. */
function everyNth(fromSlot: number, toSlot: number, most: number): Float64Array {
  const count = Math.max(1, Math.min(most, toSlot - fromSlot));
  const stride = (toSlot - fromSlot) / count;
  return Float64Array.from({ length: count }, (_, index) => Math.floor(fromSlot + index * stride));
}

function pick(curve: Float64Array | null, slots: Float64Array): Float64Array {
  return curve ? slots.map((slot) => curve[slot] ?? Number.NaN) : new Float64Array(0);
}
