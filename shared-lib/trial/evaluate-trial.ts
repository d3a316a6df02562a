import { createTorqueConverter } from '../calibration/apply-calibration.ts';
import type { CalibrationVersion } from '../calibration/calibration-model.ts';
import type { SlotRange } from '../signal/sample-block.ts';
import { DEFINITION_VERSION } from './definition-version.ts';
import { evaluateCurve } from './evaluate-curve.ts';
import { judgeTrial } from './judge-trial.ts';
import type { Step } from './step-model.ts';
import type { FaultEvent, TrialConditions, TrialFigures } from './trial-model.ts';
import { directionSign } from './trial-run.ts';

export interface TrialEvaluationInput {
  /** The whole record: from about 1 s before onset to about 1 s after the planned time. Slots named by a gap hold 0. */
  readonly counts: Int32Array;
  readonly gaps: readonly SlotRange[];
  /** Fitted; it rules the time axis, the nominal rate of the profile rules windows and holds. */
  readonly sampleRateHz: number;
  readonly conditions: TrialConditions;
  readonly calibration: CalibrationVersion;
  /** Why it no longer held when the trial began, in sentences; empty: it held. */
  readonly calibrationDoubts: readonly string[];
  readonly step: Step;
  readonly levelsNm: readonly number[];
  /** Null where zero was not measured after the trial. */
  readonly zeroAfterCounts: number | null;
  /**
   * Where onset was found while the torque came, in slots from the record's first one. Null where what was found live says
   * nothing, as under another onset level.
   */
  readonly liveOnsetSlot: number | null;
  readonly faults: readonly FaultEvent[];
  /** Another length of the measuring curve's window than the definition's, for a what-if. */
  readonly windowS?: number | undefined;
}

/**
 * All figures of a trial, from its raw counts. The same input always gives the same figures.
 *
 * Errors: AppError 'calibration-missing' where the calibration has no sense at all. What the curve cannot carry is refused
 * measure by measure.
 */
export function evaluateTrial(input: TrialEvaluationInput): TrialFigures {
  const { conditions, step, sampleRateHz } = input;
  if (!(sampleRateHz > 0)) throw new RangeError(`A record has no times at ${sampleRateHz} Sa/s.`);
  const converter = createTorqueConverter({
    calibration: input.calibration,
    zeroCounts: conditions.zeroCounts,
    senseSign: conditions.transducer.senseSign,
  });
  const rawNm = converter.convertBlock(input.counts, input.gaps);
  if (directionSign(step.direction) === -1) changeSigns(rawNm);
  const { run, earlyStopS, figures } = evaluateCurve({
    rawNm,
    nominalRateHz: conditions.profile.nominalRateHz,
    sampleRateHz,
    step,
    onsetLevelNm: conditions.onsetLevelNm,
    levelsNm: input.levelsNm,
    antiAliasBandwidthHz: conditions.profile.antiAliasBandwidthHz,
    windowS: input.windowS,
  });
  return {
    definitionVersion: DEFINITION_VERSION,
    calibrationId: input.calibration.id,
    ...figures,
    quality: judgeTrial(input, { converter, rawNm, run, earlyStopS }),
  };
}

/** In its place, without a second array as long as the record. */
function changeSigns(values: Float64Array): void {
  for (let i = 0; i < values.length; i += 1) values[i] = -(values[i] ?? Number.NaN);
}
