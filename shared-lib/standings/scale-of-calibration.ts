import type { CalibrationVersion } from '../calibration/calibration-model.ts';
import type { CalibrationResult } from '../calibration/result-model.ts';
import type { StandingsInput } from './standings-model.ts';

/** What is entered is an expanded uncertainty, k = 2 (common practice, no source). */
const ENTERED_COVERAGE_FACTOR = 2;

/**
 * Label of a calibration and relative standard uncertainty of its scale: of a guided run at bench time and the highest step of
 * each sense, the worse of them, since lower down it is mostly the zero that grows; else as it was entered. Null: not stated.
 *
 * `result`: of the guided run behind it; null where it was entered.
 */
export function scaleOfCalibration(
  {
    id,
    label,
    enteredUncertaintyPercent,
  }: Pick<CalibrationVersion, 'id' | 'label' | 'enteredUncertaintyPercent'>,
  result: CalibrationResult | null,
): StandingsInput['calibrations'][number] {
  const tops = (result?.senses ?? []).flatMap(({ steps }) => {
    const top = steps.at(-1);
    return top === undefined ? [] : [top.atBench.standardNm / Math.abs(top.torqueNm)];
  });
  const entered =
    enteredUncertaintyPercent === null ? null : enteredUncertaintyPercent / 100 / ENTERED_COVERAGE_FACTOR;
  return { calibrationId: id, label, uncertainty: tops.length > 0 ? Math.max(...tops) : entered };
}
