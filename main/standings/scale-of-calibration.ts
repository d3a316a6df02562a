import type { StandingsInput } from '../../shared-lib/standings/standings-model.ts';
import { getCalibration, getCalibrationResult } from '../storage/calibration-repository.ts';
import type { ReadableDatabase } from '../storage/database.ts';

/** What is entered is an expanded uncertainty, k = 2 (common practice, no source). */
const ENTERED_COVERAGE_FACTOR = 2;

/**
 * Label of a calibration and relative standard uncertainty of its scale: of a guided run at bench time and the highest step of
 * each sense, the worse of them, since lower down it is mostly the zero that grows; else as it was entered. Null: not stated.
 */
export function scaleOfCalibration(
  database: ReadableDatabase,
  calibrationId: string,
): StandingsInput['calibrations'][number] {
  const { label, enteredUncertaintyPercent } = getCalibration(database, calibrationId);
  const tops = (getCalibrationResult(database, calibrationId)?.senses ?? []).flatMap(({ steps }) => {
    const top = steps.at(-1);
    return top === undefined ? [] : [top.atBench.standardNm / Math.abs(top.torqueNm)];
  });
  const entered =
    enteredUncertaintyPercent === null ? null : enteredUncertaintyPercent / 100 / ENTERED_COVERAGE_FACTOR;
  return { calibrationId, label, uncertainty: tops.length > 0 ? Math.max(...tops) : entered };
}
