import { AppError } from '../app-error.ts';
import { formatNumber } from '../format-quantity.ts';
import { NEWTON_METRES_PER_FOOT_POUND_FORCE } from '../quantities.ts';
import type { CalibrationInput, CalibrationSense } from './calibration-model.ts';
import { deadWeightTorqueNm } from './dead-weight-torque.ts';
import { gravityMps2From } from './gravity.ts';
import { gainFromRatedOutput, type RatedOutputInput } from './rated-output.ts';

export interface ComputedCalibration {
  readonly forward: CalibrationSense | null;
  readonly reverse: CalibrationSense | null;
  /** Gravity used; null where the torque was known directly or none was applied. */
  readonly gravityMps2: number | null;
  /** Torques that were applied; null where none was. */
  readonly forwardTorqueNm: number | null;
  readonly reverseTorqueNm: number | null;
  /** What deserves a second look; nothing here stops the calibration. */
  readonly remarks: string[];
}

/** Under this deflection one count alone is worth more than 1 % (ours). */
const MIN_DEFLECTION_COUNTS = 100;
/** Under this one, more than 0.1 % (ours). */
const COARSE_DEFLECTION_COUNTS = 1000;
/** Gains of the two senses that differ by more than this point to a slip in an entry rather than to the transducer (ours). */
const SUSPICIOUS_GAIN_RATIO = 1.05;

interface AppliedPoint {
  readonly torqueNm: number;
  readonly counts: number;
}

/**
 * The gain of each sense from one known torque per sense, or of both from the rated output.
 *
 * Torque reads positive in forward and negative in reverse: gainForward = T / (counts - zero),
 * gainReverse = -T / (counts - zero). Both have the sign of torque over counts, so the two deflections must lie on
 * opposite sides of zero. A sense that was not loaded stays null.
 *
 * Errors: AppError 'calibration-degenerate' where no sense was loaded, a deflection (that of a shunt too) is under 100
 * counts, or both senses deflect to the same side; AppError 'input-out-of-range' from gravity and the weight's torque.
 */
export function computeCalibration(input: CalibrationInput): ComputedCalibration {
  if (input.method === 'ratedOutput') {
    const { sense, remarks } = gainFromRatedOutput(input);
    return {
      forward: sense,
      reverse: { ...sense },
      gravityMps2: null,
      forwardTorqueNm: null,
      reverseTorqueNm: null,
      remarks,
    };
  }
  const { forward, reverse, gravityMps2 } = appliedPoints(input);
  if (forward === null && reverse === null) {
    throw degenerate(
      'Neither sense was loaded, so there is nothing to compute. Load forward, reverse or both, and read the counts.',
    );
  }
  const forwardSense = senseFrom('forward', forward, input.zeroCounts, 1);
  const reverseSense = senseFrom('reverse', reverse, input.zeroCounts, -1);
  if (forwardSense !== null && reverseSense !== null) {
    if (forwardSense.gainNmPerCount > 0 !== reverseSense.gainNmPerCount > 0) {
      throw degenerate(
        'Forward and reverse both moved the counts to the same side of zero, which no transducer does. ' +
          'One of the two was read under the wrong load: load that sense again and read its counts.',
      );
    }
  }
  return {
    forward: forwardSense,
    reverse: reverseSense,
    gravityMps2,
    forwardTorqueNm: forward?.torqueNm ?? null,
    reverseTorqueNm: reverse?.torqueNm ?? null,
    remarks: [
      ...remarkOnCoarseness('Forward', forward, input.zeroCounts),
      ...remarkOnCoarseness('Reverse', reverse, input.zeroCounts),
      ...remarkOnSenses(forwardSense, reverseSense),
      ...remarkOnGravity(input),
    ],
  };
}

function appliedPoints(input: Exclude<CalibrationInput, RatedOutputInput>): {
  forward: AppliedPoint | null;
  reverse: AppliedPoint | null;
  gravityMps2: number | null;
} {
  if (input.method === 'direct') return { forward: input.forward, reverse: input.reverse, gravityMps2: null };
  const gravityMps2 = gravityMps2From(input.gravity);
  const torqueNm = deadWeightTorqueNm({ ...input, gravityMps2 });
  const at = (counts: number | null): AppliedPoint | null => (counts === null ? null : { torqueNm, counts });
  return { forward: at(input.forwardCounts), reverse: at(input.reverseCounts), gravityMps2 };
}

function senseFrom(
  name: 'forward' | 'reverse',
  point: AppliedPoint | null,
  zeroCounts: number,
  torqueSign: 1 | -1,
): CalibrationSense | null {
  if (point === null) return null;
  const deflection = point.counts - zeroCounts;
  if (Math.abs(deflection) < MIN_DEFLECTION_COUNTS) {
    throw degenerate(
      `The ${name} load moved the counts by only ${formatNumber(deflection, 0)}; under ${MIN_DEFLECTION_COUNTS} one count is worth ` +
        'more than 1 %. Check that the load hung free when the counts were read, use a heavier weight or a longer arm, or raise the amplifier’s gain.',
    );
  }
  return {
    gainNmPerCount: (torqueSign * point.torqueNm) / deflection,
    validToNm: point.torqueNm,
    curve: null,
  };
}

function remarkOnCoarseness(name: string, point: AppliedPoint | null, zeroCounts: number): string[] {
  if (point === null) return [];
  const deflection = Math.abs(point.counts - zeroCounts);
  if (deflection >= COARSE_DEFLECTION_COUNTS) return [];
  return [
    `${name} rests on a deflection of ${formatNumber(deflection, 0)} counts: one count is worth ${formatNumber(100 / deflection, 1)} % of it.`,
  ];
}

function remarkOnSenses(forward: CalibrationSense | null, reverse: CalibrationSense | null): string[] {
  if (forward === null || reverse === null) {
    const missing = forward === null ? 'Forward' : 'Reverse';
    return [
      `${missing} is not calibrated: readings in it are marked, and trials in it are refused until it is loaded too.`,
    ];
  }
  const ratio = forward.gainNmPerCount / reverse.gainNmPerCount;
  const larger = Math.max(ratio, 1 / ratio);
  if (larger <= SUSPICIOUS_GAIN_RATIO) return [];
  const isUnitSlip = Math.abs(larger / NEWTON_METRES_PER_FOOT_POUND_FORCE - 1) < 0.02;
  return [
    `The gains of forward and reverse differ by ${formatNumber((larger - 1) * 100, 1)} %. ` +
      (isUnitSlip
        ? 'That is the ratio of ft·lbf to N·m: check the unit of both torques.'
        : 'Check the torque, the weight, the arm and their units in both senses.'),
  ];
}

function remarkOnGravity(input: CalibrationInput): string[] {
  if (input.method !== 'oneWeight' || input.gravity.source === 'entered') return [];
  return [
    'Gravity is computed from latitude and height. The true local value usually lies within some 0.0001 m/s², ' +
      'a thousandth of a percent, of it (limit from memory); a measured value is better where there is one.',
  ];
}

function degenerate(message: string): AppError {
  return new AppError('calibration-degenerate', `${message} No calibration was stored.`);
}
