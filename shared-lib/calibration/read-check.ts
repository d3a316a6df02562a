import { AppError } from '../app-error.ts';
import { createTorqueConverter } from './apply-calibration.ts';
import type { CalibrationVersion } from './calibration-model.ts';
import {
  checkTorque,
  loadRangeFindings,
  shuntRangeFindings,
  type WeightMeans,
  wayOfCheck,
} from './check-load.ts';
import { massFindings } from './check-weights.ts';
import type { CheckMeans, DailyCheck } from './daily-check-model.ts';
import { judgeDailyCheck } from './judge-daily-check.ts';
import { torqueWords } from './load-limits.ts';
import type { CalibrationResult, Finding } from './result-model.ts';
import { expandedUncertaintyNm } from './uncertainty-at.ts';

export const REFERENCE_RULE = 'reference';
/** The reason of a new reference, in the words of who took it. */
export const NEW_REFERENCE_RULE = 'reason of the new reference';

/** See `refuseUnfitReference`. */
const LEAST_REFERENCE_SHARE = 0.02;

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
  /** Of a shunt: it is taken as what later readings are held to, and why; null: it is judged where there is a reference. */
  readonly newReferenceReason: string | null;
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

function readWeight(reading: CheckReading, means: WeightMeans, torqueNm: number): ReadCheck {
  const { calibration, result, today } = reading;
  const { sense, weights } = means;
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
  const applied = checkTorque(means, wayOfCheck(calibration));
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
    checkUncertaintyNm: applied.uncertaintyNm,
    earlierErrorsPercent: passedErrorsPercent(likeChecks(reading.earlier, means)),
  });
  return {
    referenceNm: applied.torqueNm,
    readingNm,
    errorNm,
    ...judgement,
    reasons: [...judgement.reasons, ...[...loadRangeFindings(calibration, means), ...findings].map(toReason)],
  };
}

/** The first reading under a calibration, or one that is to be a new reference, has nothing to be judged against. */
function readShunt(
  { earlier, means, calibration, newReferenceReason }: CheckReading,
  torqueNm: number,
): ReadCheck {
  const before = newestReference(earlier);
  const remarks = shuntRangeFindings(calibration, torqueNm).map(toReason);
  if (before === undefined || newReferenceReason !== null) {
    return {
      referenceNm: torqueNm,
      readingNm: torqueNm,
      errorNm: 0,
      limitNm: null,
      verdict: 'reference',
      reasons: [
        note(
          REFERENCE_RULE,
          before === undefined
            ? 'The first reading of the shunt under this calibration; later ones are held to it. It shows nothing yet.'
            : 'A new reference for the shunt, in the place of the one before; later ones are held to it. It shows nothing yet.',
        ),
        ...(newReferenceReason === null ? [] : [note(NEW_REFERENCE_RULE, newReferenceReason)]),
        ...remarks,
      ],
    };
  }
  const errorNm = torqueNm - before.readingNm;
  const judgement = judgeDailyCheck({
    errorNm,
    referenceNm: before.readingNm,
    calibrationUncertaintyNm: null,
    checkUncertaintyNm: null,
    earlierErrorsPercent: passedErrorsPercent(likeChecks(earlier, means)),
  });
  return {
    referenceNm: before.readingNm,
    readingNm: torqueNm,
    errorNm,
    ...judgement,
    reasons: [...judgement.reasons, ...remarks],
  };
}

/**
 * Of a check that was read and is to be stored. The least size of a reference is ours, in shares of the calibrated range: up
 * to 1 % counts as noise about the zero elsewhere, and of less than 2 % the 1 % that later readings may be off by would be lost
 * in what the zero drifts by.
 *
 * Errors: AppError 'invalid-state' for a weight that is to be a reference, and for a new one while a failure stands;
 * 'input-out-of-range' for a reference that is none.
 */
export function refuseUnfitReference(
  { verdict, readingNm }: Pick<ReadCheck, 'verdict' | 'readingNm'>,
  {
    means,
    calibration,
    earlier,
    newReferenceReason,
  }: Pick<CheckReading, 'means' | 'calibration' | 'earlier' | 'newReferenceReason'>,
): void {
  if (means.kind !== 'shunt') {
    if (newReferenceReason === null) return;
    throw new AppError(
      'invalid-state',
      'A weight is held to what it weighs, so its reading is no reference. Nothing was stored; have it judged, or read the shunt.',
    );
  }
  if (newReferenceReason !== null && isFailureOpen(earlier)) {
    throw new AppError(
      'invalid-state',
      'A check that failed still stands, and held to itself the shunt would pass whatever has become of the bench. Nothing was stored; check with a weight first, in the same sense where a weight failed, or calibrate anew. Then take the new reference.',
    );
  }
  const rangeNm = Math.max(calibration.forward?.validToNm ?? 0, calibration.reverse?.validToNm ?? 0);
  const leastNm = LEAST_REFERENCE_SHARE * rangeNm;
  if (verdict !== 'reference' || Math.abs(readingNm) >= leastNm) return;
  throw new AppError(
    'input-out-of-range',
    `The shunt moved the reading by ${torqueWords(Math.abs(readingNm))} only, and a reference for later checks needs ${torqueWords(leastNm)} at least, 2 % of the calibrated range. Nothing was stored; switch the shunt on and read it again, or check with a weight.`,
    { readingNm, leastNm },
  );
}

/** Why a stored check was taken as a new reference; null: it was not. */
export function newReferenceReasonOf({
  verdict,
  reasons,
}: Pick<DailyCheck, 'verdict' | 'reasons'>): string | null {
  if (verdict !== 'reference') return null;
  return reasons.find(({ rule }) => rule === NEW_REFERENCE_RULE)?.sentence ?? null;
}

/**
 * Whether a check failed and no pass has followed that would have shown the failure: a weight in the same sense, or for the shunt
 * any, as `suspect_window` has it.
 */
export function isFailureOpen(newestFirst: readonly DailyCheck[]): boolean {
  const passedSince = new Set<string>();
  return newestFirst.some(({ verdict, means }) => {
    const shows = means.kind === 'shunt' ? 'shunt' : means.sense;
    if (verdict === 'passed') passedSince.add(shows);
    if (verdict !== 'failed') return false;
    return means.kind === 'shunt' ? passedSince.size === 0 : !passedSince.has(shows);
  });
}

function newestReference(newestFirst: readonly DailyCheck[]): DailyCheck | undefined {
  return newestFirst.find(({ verdict }) => verdict === 'reference');
}

/**
 * The checks that show the same, newest first as they come: a weight in the same sense, or the shunt since its newest
 * reference, as errors from another one have another centre.
 */
export function likeChecks(newestFirst: readonly DailyCheck[], means: CheckMeans): DailyCheck[] {
  if (means.kind === 'weight') {
    return newestFirst.filter((check) => check.means.kind === 'weight' && check.means.sense === means.sense);
  }
  const reference = newestReference(newestFirst);
  const since = reference === undefined ? newestFirst : newestFirst.slice(0, newestFirst.indexOf(reference));
  return since.filter((check) => check.means.kind === 'shunt');
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
  return note(code, sentence);
}

/** What no rule judges. */
function note(rule: string, sentence: string): DailyCheck['reasons'][number] {
  return { rule, isBroken: false, sentence };
}
