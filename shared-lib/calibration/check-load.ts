import { appliedTorque, appliedTorqueNm } from './applied-torque.ts';
import { createTorqueConverter } from './apply-calibration.ts';
import type { CalibrationVersion } from './calibration-model.ts';
import { massFindings } from './check-weights.ts';
import type { CheckLoad, CheckMeans } from './daily-check-model.ts';
import { type LoadLimits, loadLimitFindings, torqueWords } from './load-limits.ts';
import type { Finding } from './result-model.ts';

export type WeightMeans = Extract<CheckMeans, { kind: 'weight' }>;
type CheckedCalibration = Pick<CalibrationVersion, 'method' | 'forward' | 'reverse'>;

/** Common practice, for the few large contributions of a weight on an arm. */
const COVERAGE_FACTOR = 2;

export const OUTSIDE_RANGE = 'outside-range';

/** A check weight hangs where those of the calibration hung. */
export function wayOfCheck({ method }: Pick<CalibrationVersion, 'method'>): CheckLoad['way'] {
  return method === 'loadCell' ? 'loadCell' : 'weightsOnArm';
}

/**
 * Torque of the weights of a check in N m, and its expanded uncertainty (k = 2).
 *
 * Errors: those of `appliedTorque`.
 */
export function checkTorque(
  { weights, arm, site }: WeightMeans,
  way: CheckLoad['way'],
): { readonly torqueNm: number; readonly uncertaintyNm: number } {
  const { torqueNm, terms } = appliedTorque({ weights, arm, site, way });
  const variance = terms.reduce((sum, term) => sum + term.standardUncertaintyNm ** 2, 0);
  return { torqueNm, uncertaintyNm: COVERAGE_FACTOR * Math.sqrt(variance) };
}

/**
 * What a check will load the bench with, and what speaks against it, before anything is hung: `stop` is refused. `today` is a
 * calendar day.
 *
 * Errors: AppError 'input-out-of-range' from gravity, masses and lengths.
 */
export function describeCheckLoad({
  means,
  calibration,
  limits,
  today,
}: {
  readonly means: CheckMeans;
  readonly calibration: CheckedCalibration;
  readonly limits: LoadLimits;
  readonly today: string;
}): CheckLoad {
  const way = wayOfCheck(calibration);
  // What the shunt makes of the bridge is known only once it is read, and it loads nothing.
  if (means.kind === 'shunt') return { way, torqueNm: null, findings: [] };
  const { sense, weights, arm, site } = means;
  const torqueNm = appliedTorqueNm({ weights, arm, site, way });
  const findings = [
    ...senseFindings(calibration, sense),
    ...massFindings([weights], today),
    ...loadLimitFindings('This load', torqueNm, limits),
  ];
  const isStopped = findings.some(({ severity }) => severity === 'stop');
  return {
    way,
    torqueNm,
    findings: isStopped ? findings : [...findings, ...loadRangeFindings(calibration, means)],
  };
}

function senseFindings(calibration: CheckedCalibration, sense: WeightMeans['sense']): Finding[] {
  if (calibration[sense] !== null) return [];
  return [
    {
      code: 'sense-not-calibrated',
      severity: 'stop',
      sense: null,
      sentence: `The calibration in use has no ${sense} sense, so a weight hung that way checks nothing. Hang it the other way.`,
    },
  ];
}

/** Up to its own uncertainty nobody can say that a load lies beyond: the top weight of the calibration in other air would. */
export function loadRangeFindings(calibration: CheckedCalibration, means: WeightMeans): Finding[] {
  const { sense } = means;
  const { torqueNm, uncertaintyNm } = checkTorque(means, wayOfCheck(calibration));
  const sign = sense === 'forward' ? 1 : -1;
  if (!isOutsideRange(calibration, sign * (torqueNm - uncertaintyNm))) return [];
  return [
    outsideRange(
      `The load of ${torqueWords(torqueNm)} lies ${rangeWords(calibration, sense)}, so what it reads is extrapolated, and a pass shows little of the calibrated range. Take less weight or a shorter arm, or calibrate up to there.`,
    ),
  ];
}

/** Torque of a shunt in N m, its sign by the calibration. */
export function shuntRangeFindings(calibration: CheckedCalibration, torqueNm: number): Finding[] {
  if (!isOutsideRange(calibration, torqueNm)) return [];
  const sense = torqueNm < 0 ? 'reverse' : 'forward';
  return [
    outsideRange(
      `The shunt reads ${torqueWords(torqueNm)}, which lies ${rangeWords(calibration, sense)}: as torque that is extrapolated. Whether it reads as it did shows all the same.`,
    ),
  ];
}

function isOutsideRange(calibration: CheckedCalibration, torqueNm: number): boolean {
  return createTorqueConverter({ calibration, zeroCounts: 0, senseSign: 1 }).isOutsideRange(torqueNm);
}

function rangeWords(calibration: CheckedCalibration, sense: WeightMeans['sense']): string {
  const range = calibration[sense];
  return range === null
    ? `in the ${sense} sense, which was not calibrated`
    : `beyond ${torqueWords(range.validToNm)}, the highest that was calibrated ${sense}`;
}

function outsideRange(sentence: string): Finding {
  return { code: OUTSIDE_RANGE, severity: 'look', sense: null, sentence };
}
