import type { TorqueUnit } from '../../../shared-lib/api-contract.ts';
import type { SenseResult } from '../../../shared-lib/calibration/result-model.ts';
import { fromOwnUnit, unitLabel } from '../../../shared-lib/format-quantity.ts';
import { type ResultTorque } from '../../../shared-lib/calibration/words/result-figures.ts';
import { uncertaintySummary } from '../../../shared-lib/calibration/words/result-sentences.ts';
import { SvgPlot } from './SvgPlot.tsx';
import {
  uncertaintyCurvePoints,
  uncertaintyStepPoints,
  type UncertaintyPoint,
} from './uncertainty-points.ts';

export interface UncertaintyCurveProps {
  readonly result: SenseResult;
  readonly unit: TorqueUnit;
  readonly torque: ResultTorque;
}

const LEAST_TOP_PERCENT = 0.01;

/** Relative expanded uncertainty over the calibrated range, of both times; the steps stand on the curves. */
export function UncertaintyCurve({ result, unit, torque }: UncertaintyCurveProps) {
  const toUnit = ({ torqueNm, percent }: UncertaintyPoint) => ({
    x: fromOwnUnit(torqueNm, unit),
    y: percent,
  });
  return (
    <SvgPlot
      summary={`${uncertaintySummary(result, 'calibration', torque)} ${uncertaintySummary(result, 'bench', torque)}`}
      xTitle={`torque, ${unitLabel(unit)}`}
      yTitle="expanded uncertainty, % of the torque (95 %)"
      leastTop={LEAST_TOP_PERCENT}
      series={[
        {
          key: 'bench',
          mark: 'dashed',
          color: 5,
          points: uncertaintyCurvePoints(result, 'bench').map(toUnit),
          label: 'at bench time',
        },
        {
          key: 'calibration',
          mark: 'line',
          color: 1,
          points: uncertaintyCurvePoints(result, 'calibration').map(toUnit),
          label: 'at calibration',
        },
        {
          key: 'bench-steps',
          mark: 'ring',
          color: 5,
          points: uncertaintyStepPoints(result, 'bench').map(toUnit),
        },
        {
          key: 'calibration-steps',
          mark: 'disc',
          color: 1,
          points: uncertaintyStepPoints(result, 'calibration').map(toUnit),
        },
      ]}
    />
  );
}
