import type { RequestResult } from '../api-contract.ts';
import { fittedCounts, residualPoints } from '../calibration/residual-points.ts';
import type { SenseResult } from '../calibration/result-model.ts';
import type { CalibrationRun } from '../calibration/run-model.ts';
import { topUncertaintyPercent } from '../calibration/uncertainty-at.ts';
import { formatTorqueInBothUnits } from '../format-quantity.ts';
import { directionNames } from '../trial/words/pull-words.ts';
import type { ResidualsChart } from './chart-model.ts';
import { SIMULATED_NOTE, uncertaintyWords } from './chart-notes.ts';

type CalibrationReport = RequestResult<'getCalibrationReport'>;

/** What the fit leaves of each reading, beside what the calibration states; null: no guided run stands behind it. */
export function chartOfCalibration(
  { version, run, result }: CalibrationReport,
  { isSimulated, dayOf }: { readonly isSimulated: boolean; readonly dayOf: (instant: string) => string },
): ResidualsChart | null {
  if (run === null || result === null) return null;
  const senses = result.senses.map((sense) => senseOf(run, sense));
  const by = version.operator === '' ? '' : ` by ${version.operator}`;
  return {
    kind: 'residuals',
    title: `Calibration “${version.label}”`,
    subtitle: `Made on ${dayOf(version.createdAt)}${by}${version.supersededAt === null ? '' : `, superseded on ${dayOf(version.supersededAt)}`}; ${uncertaintyWords(topUncertaintyPercent(result))} at the bench at the highest torque`,
    notes: [
      `n: ${senses.map(({ label, points }) => `${points.length} readings ${label.toLowerCase()}`).join(', ')}.`,
      ...result.senses.map((sense) => `${directionNames[sense.sense]}: ${fitWords(sense)}`),
      ...(isSimulated ? [SIMULATED_NOTE] : []),
      ...result.findings.filter(({ severity }) => severity === 'look').map(({ sentence }) => sentence),
      'Weights calibrate slowly applied torque; what a reading adds under blows is not in it.',
    ],
    senses,
  };
}

function senseOf(run: CalibrationRun, result: SenseResult): ResidualsChart['senses'][number] {
  const mountings = new Map(
    run.readings.map(({ sense, series, mounting }) => [`${sense} ${series}`, mounting] as const),
  );
  return {
    label: directionNames[result.sense],
    points: residualPoints(run, result).map(({ torqueNm, residualPercent, series, isIncreasing }) => ({
      torqueNm,
      residualNm: residualTorqueNm(result, torqueNm, residualPercent),
      series: `mounting ${mountings.get(`${result.sense} ${series}`) ?? 1}, series ${series}, ${isIncreasing ? 'rising' : 'falling'}`,
    })),
    limits: result.steps.map(({ torqueNm, atCalibration }) => ({
      torqueNm: Math.abs(torqueNm),
      expandedNm: atCalibration.expandedNm,
    })),
  };
}

/** From counts to torque by the slope of the fit there; over the width of a residual it is a straight line. */
function residualTorqueNm(result: SenseResult, torqueNm: number, residualPercent: number): number {
  const nearNm = Math.max(torqueNm, 1) * 1e-3;
  const slope =
    (fittedCounts(result, torqueNm + nearNm) - fittedCounts(result, torqueNm - nearNm)) / (2 * nearNm);
  return ((residualPercent / 100) * fittedCounts(result, torqueNm)) / slope;
}

function fitWords({ degree, hasConstant, validFromNm, validToNm }: SenseResult): string {
  const line = degree === 1 ? 'a straight line' : `a curve of degree ${degree}`;
  return `${line} ${hasConstant ? 'with a constant' : 'through the zero'}, ${formatTorqueInBothUnits(validFromNm, 1)} to ${formatTorqueInBothUnits(validToNm, 1)}.`;
}
