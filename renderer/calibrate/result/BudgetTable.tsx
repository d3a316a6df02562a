import type { TorqueUnit } from '../../../shared-lib/api-contract.ts';
import type { StepResult } from '../../../shared-lib/calibration/result-model.ts';
import { formatNumber, fromOwnUnit, THIN_SPACE, unitLabel } from '../../../shared-lib/format-quantity.ts';
import '../figure-table.css';
import { type BudgetTime, budgetShares } from '../../../shared-lib/calibration/budget-shares.ts';
import {
  type ResultTorque,
  percentWords,
  twoDigitDecimals,
} from '../../../shared-lib/calibration/words/result-figures.ts';
import { budgetCaption, distributionWords } from '../../../shared-lib/calibration/words/result-sentences.ts';

export interface BudgetTableProps {
  readonly step: StepResult;
  readonly time: BudgetTime;
  readonly unit: TorqueUnit;
  readonly torque: ResultTorque;
}

/** The budget of one step, the largest share first, and what it combines to. */
export function BudgetTable({ step, time, unit, torque }: BudgetTableProps) {
  const shares = budgetShares(step.terms, time);
  const combined = time === 'bench' ? step.atBench : step.atCalibration;
  const standard = fromOwnUnit(combined.standardNm, unit);
  // One digit more than the combined one is given with, so that small terms do not all read zero.
  const decimals = Math.min(twoDigitDecimals([standard]) + 1, 6);
  const inUnit = (torqueNm: number) => formatNumber(fromOwnUnit(torqueNm, unit), decimals);
  return (
    <div className="figure-table-frame">
      <table className="figure-table">
        <caption>{budgetCaption(step, time, torque)}</caption>
        <thead>
          <tr>
            <th scope="col">Source</th>
            <th scope="col">Kind</th>
            <th scope="col">Type</th>
            <th scope="col" className="figure-table-number">
              Value
            </th>
            <th scope="col">Distribution</th>
            <th scope="col" className="figure-table-number">
              Divisor
            </th>
            <th scope="col" className="figure-table-number">
              Sensitivity, N·m per unit
            </th>
            <th scope="col" className="figure-table-number">
              u, {unitLabel(unit)}
            </th>
            <th scope="col" className="figure-table-number">
              Degrees of freedom
            </th>
            <th scope="col" className="figure-table-number">
              Share of u², %
            </th>
          </tr>
        </thead>
        <tbody>
          {shares.map(({ term, sharePercent }, place) => (
            <tr key={`${term.source} ${place}`}>
              <th scope="row">{term.source}</th>
              <td>{term.time === 'bench' ? `${term.kind}, bench` : term.kind}</td>
              <td>{term.evaluation}</td>
              <td className="figure-table-number">
                {significant(term.value)}
                {THIN_SPACE}
                {term.unit}
              </td>
              <td>{distributionWords(term.distribution)}</td>
              <td className="figure-table-number">{significant(term.divisor)}</td>
              <td className="figure-table-number">{significant(term.sensitivity)}</td>
              <td className="figure-table-number">{inUnit(term.standardUncertaintyNm)}</td>
              <td className="figure-table-number">{freedomWords(term.degreesOfFreedom)}</td>
              <td className="figure-table-number">{formatNumber(sharePercent, 1)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p className="calibrate-result-combined">
        Combined u = {inUnit(combined.standardNm)}
        {THIN_SPACE}
        {unitLabel(unit)}, {freedomWords(combined.effectiveDegreesOfFreedom)} effective degrees of freedom, k
        = {formatNumber(combined.coverageFactor, 2)}: <strong>U = {inUnit(combined.expandedNm)}</strong>
        {THIN_SPACE}
        {unitLabel(unit)} (95 %), which is {percentWords(combined.relativeExpandedPercent)} of the torque.
      </p>
    </div>
  );
}

/** Four significant digits; powers of ten where plain digits would be zeros only. */
function significant(value: number): string {
  if (value === 0) return '0';
  const size = Math.floor(Math.log10(Math.abs(value)));
  if (size >= -5 && size < 7) return formatNumber(value, Math.min(Math.max(3 - size, 0), 8));
  return `${formatNumber(value / 10 ** size, 3)}·10${superscript(size)}`;
}

function superscript(power: number): string {
  const digits = '⁰¹²³⁴⁵⁶⁷⁸⁹';
  const text = Array.from(String(Math.abs(power)), (digit) => digits[Number(digit)] ?? '').join('');
  return power < 0 ? `⁻${text}` : text;
}

function freedomWords(degreesOfFreedom: number | null): string {
  if (degreesOfFreedom === null) return '∞';
  return formatNumber(degreesOfFreedom, Number.isInteger(degreesOfFreedom) ? 0 : 1);
}
