import type { SenseResult } from '../../../shared-lib/calibration/result-model.ts';
import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import { STEPS_CAPTION } from '../../../shared-lib/calibration/words/result-sentences.ts';
import '../figure-table.css';
import { percentColumn, type ResultTorque } from '../../../shared-lib/calibration/words/result-figures.ts';

export interface StepsTableProps {
  readonly result: SenseResult;
  readonly torque: ResultTorque;
}

/** What each step came to: deviations in percent of the deflection, uncertainties in percent of the torque. */
export function StepsTable({ result: { steps }, torque }: StepsTableProps) {
  const interpolation = percentColumn(steps.map(({ interpolationPercent }) => interpolationPercent));
  const repeatability = percentColumn(steps.map(({ repeatabilityPercent }) => repeatabilityPercent));
  const reproducibility = percentColumn(steps.map(({ reproducibilityPercent }) => reproducibilityPercent));
  const reversibility = percentColumn(steps.map(({ reversibilityPercent }) => reversibilityPercent));
  const atCalibration = percentColumn(steps.map((step) => step.atCalibration.relativeExpandedPercent));
  const atBench = percentColumn(steps.map((step) => step.atBench.relativeExpandedPercent));
  return (
    <div className="figure-table-frame">
      <table className="figure-table">
        <caption>{STEPS_CAPTION}</caption>
        <thead>
          <tr>
            <th scope="col" className="figure-table-number">
              Torque, {torque.unitLabel}
            </th>
            {[
              'Deflection, counts',
              'Interpolation',
              'Repeatability',
              'Reproducibility',
              'Reversibility',
              'U at calibration',
              'U at bench time',
            ].map((title) => (
              <th key={title} scope="col" className="figure-table-number">
                {title}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {steps.map((step) => (
            <tr key={step.level}>
              <th scope="row" className="figure-table-number">
                {torque.number(step.torqueNm)}
              </th>
              <td className="figure-table-number">{formatNumber(step.meanDeflectionCounts, 1)}</td>
              <td className="figure-table-number">{interpolation(step.interpolationPercent)}</td>
              <td className="figure-table-number">{repeatability(step.repeatabilityPercent)}</td>
              <td className="figure-table-number">{reproducibility(step.reproducibilityPercent)}</td>
              <td className="figure-table-number">{reversibility(step.reversibilityPercent)}</td>
              <td className="figure-table-number">
                {atCalibration(step.atCalibration.relativeExpandedPercent)}
              </td>
              <td className="figure-table-number">{atBench(step.atBench.relativeExpandedPercent)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
