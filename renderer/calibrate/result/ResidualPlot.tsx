import type { TorqueUnit } from '../../../shared-lib/api-contract.ts';
import { fromOwnUnit, unitLabel } from '../../../shared-lib/format-quantity.ts';
import type { ResidualPoint } from '../../../shared-lib/calibration/residual-points.ts';
import { SvgPlot } from './SvgPlot.tsx';

/** A picture that magnifies less than this shows noise of the converter (ours). */
const LEAST_TOP_PERCENT = 0.01;

export interface ResidualPlotProps {
  readonly points: readonly ResidualPoint[];
  readonly unit: TorqueUnit;
  /** What the picture shows, in words. */
  readonly summary: string;
}

/** Each reading against the fit: filled while the load rises, hollow while it falls. */
export function ResidualPlot({ points, unit, summary }: ResidualPlotProps) {
  const at = ({ torqueNm, residualPercent }: ResidualPoint) => ({
    x: fromOwnUnit(torqueNm, unit),
    y: residualPercent,
  });
  const rising = points.filter(({ isIncreasing }) => isIncreasing);
  const falling = points.filter(({ isIncreasing }) => !isIncreasing);
  return (
    <SvgPlot
      summary={falling.length === 0 ? summary : `${summary} Filled: load rising; hollow: load falling.`}
      xTitle={`torque, ${unitLabel(unit)}`}
      yTitle="from the fit, % of the reading"
      leastTop={LEAST_TOP_PERCENT}
      series={[
        { key: 'falling', mark: 'ring', color: null, points: falling.map(at) },
        { key: 'rising', mark: 'disc', color: null, points: rising.map(at) },
      ]}
    />
  );
}
