import { AppError } from '../app-error.ts';
import { appliedTorque } from './applied-torque.ts';
import { createTorqueConverter } from './apply-calibration.ts';
import type { CalibrationVersion } from './calibration-model.ts';
import { massFindings } from './check-weights.ts';
import type { CheckMeans, DailyCheck } from './daily-check-model.ts';
import { judgeDailyCheck } from './judge-daily-check.ts';
import type { CalibrationResult, Finding } from './result-model.ts';
import { expandedUncertaintyNm } from './uncertainty-at.ts';

/** Common practice, for the few large contributions of a weight on an arm. */
const COVERAGE_FACTOR = 2;

export interface CheckReading {
  readonly means: CheckMeans;
  readonly zeroCounts: number;
  readonly readingCounts: number;
  readonly calibration: CalibrationVersion;
  /** Of the guided run behind it; null where it was entered. */
  readonly result: CalibrationResult | null;
  /** All under this calibration, newest first. */
  readonly earlier: readonly DailyCheck[];
  /** A calendar day. */
  readonly today: string;
}

export type ReadCheck = Pick<
  DailyCheck,
  'referenceNm' | 'readingNm' | 'errorNm' | 'limitNm' | 'verdict' | 'reasons'
>;

/**
 * What a check reads and whether it passes. Torque is positive in the sense of the check; that of a shunt has its sign by
 * the calibration.
 *
 * Errors: AppError 'calibration-sense-missing' for a sense that was not calibrated; 'invalid-state' for weights that cannot
 * hang like that; those of `appliedTorque`.
 */
export function readCheck(reading: CheckReading): ReadCheck {
  const { means, calibration, zeroCounts, readingCounts } = reading;
  const converter = createTorqueConverter({ calibration, zeroCounts, senseSign: 1 });
  const torqueNm = converter.toTorqueNm(readingCounts);
  return means.kind === 'shunt' ? readShunt(reading, torqueNm) : readWeight(reading, means, torqueNm);
}

function readWeight(
  reading: CheckReading,
  means: Extract<CheckMeans, { kind: 'weight' }>,
  torqueNm: number,
): ReadCheck {
  const { calibration, result, today } = reading;
  const { sense, weights, arm, site } = means;
  if (calibration[sense] === null) {
    throw new AppError(
      'calibration-sense-missing',
      `The calibration in use has no ${sense} sense, so a weight hung that way checks nothing. Nothing was stored; hang it the other way.`,
      { sense },
    );
  }
  const findings = massFindings([weights], today);
  const stop = findings.find(({ severity }) => severity === 'stop');
  if (stop) {
    throw new AppError('invalid-state', `${stop.sentence} Nothing was stored.`, { finding: stop.code });
  }
  const applied = appliedTorque({
    weights,
    arm,
    site,
    way: calibration.method === 'loadCell' ? 'loadCell' : 'weightsOnArm',
  });
  const variance = applied.terms.reduce((sum, term) => sum + term.standardUncertaintyNm ** 2, 0);
  const ofSense = result?.senses.find((candidate) => candidate.sense === sense);
  const { enteredUncertaintyPercent } = calibration;
  const enteredNm =
    enteredUncertaintyPercent === null ? null : (enteredUncertaintyPercent / 100) * applied.torqueNm;
  const readingNm = sense === 'forward' ? torqueNm : -torqueNm;
  const errorNm = readingNm - applied.torqueNm;
  const judgement = judgeDailyCheck({
    errorNm,
    referenceNm: applied.torqueNm,
    calibrationUncertaintyNm: ofSense ? expandedUncertaintyNm(ofSense, applied.torqueNm, 'bench') : enteredNm,
    checkUncertaintyNm: COVERAGE_FACTOR * Math.sqrt(variance),
    earlierErrorsPercent: passedErrorsPercent(likeChecks(reading.earlier, means)),
  });
  return {
    referenceNm: applied.torqueNm,
    readingNm,
    errorNm,
    ...judgement,
    reasons: [...judgement.reasons, ...findings.map(toReason)],
  };
}

/** The first reading under a calibration has nothing to be judged against: it is what later ones are held to. */
function readShunt({ earlier, means }: CheckReading, torqueNm: number): ReadCheck {
  const reference = earlier.find(({ verdict }) => verdict === 'reference');
  if (!reference) {
    requireAwayFromZero(torqueNm);
    return {
      referenceNm: torqueNm,
      readingNm: torqueNm,
      errorNm: 0,
      limitNm: null,
      verdict: 'reference',
      reasons: [
        {
          rule: 'reference',
          isBroken: false,
          sentence:
            'The first reading of the shunt under this calibration; later ones are held to it. It shows nothing yet.',
        },
      ],
    };
  }
  const errorNm = torqueNm - reference.readingNm;
  return {
    referenceNm: reference.readingNm,
    readingNm: torqueNm,
    errorNm,
    ...judgeDailyCheck({
      errorNm,
      referenceNm: reference.readingNm,
      calibrationUncertaintyNm: null,
      checkUncertaintyNm: null,
      earlierErrorsPercent: passedErrorsPercent(likeChecks(earlier, means)),
    }),
  };
}

/** A reference at the zero could be told from no other reading, and every error would be endless percent of it. */
function requireAwayFromZero(torqueNm: number): void {
  if (Math.abs(torqueNm) > 1e-3) return;
  throw new AppError(
    'input-out-of-range',
    'The reading does not move when the shunt is switched on, so it cannot be the reference of later checks. Nothing was stored; switch the shunt on and read it again.',
    { torqueNm },
  );
}

/** The checks that show the same: a weight in the same sense, or the shunt. */
export function likeChecks(checks: readonly DailyCheck[], means: CheckMeans): DailyCheck[] {
  const shows = (one: CheckMeans): string => (one.kind === 'shunt' ? 'shunt' : one.sense);
  return checks.filter((check) => check.verdict !== 'reference' && shows(check.means) === shows(means));
}

export function errorPercent({ errorNm, referenceNm }: DailyCheck): number {
  return (100 * errorNm) / Math.abs(referenceNm);
}

/** Oldest first. */
function passedErrorsPercent(newestFirst: readonly DailyCheck[]): number[] {
  return newestFirst
    .filter(({ verdict }) => verdict === 'passed')
    .map(errorPercent)
    .reverse();
}

function toReason({ code, sentence }: Finding): DailyCheck['reasons'][number] {
  return { rule: code, isBroken: false, sentence };
}
