import { assertNever } from '../../assert-never.ts';
import type { BudgetTerm, Finding, SenseResult, StepResult } from '../result-model.ts';
import { formatNumber } from '../../format-quantity.ts';
import type { Direction } from '../../trial/step-model.ts';
import { type BudgetTime, budgetShares, type SharePicture } from '../budget-shares.ts';
import type { ResidualPoint } from '../residual-points.ts';
import { percentWords, type ResultTorque } from './result-figures.ts';

export const senseTitles: Readonly<Record<Direction, string>> = { forward: 'Forward', reverse: 'Reverse' };

export const timeWords: Readonly<Record<BudgetTime, string>> = {
  calibration: 'on the day of the calibration',
  bench: 'at bench time',
};

/** Behind what no copy of the standard was at hand for. */
export const FROM_MEMORY = 'Limits as remembered; check against your copy of the standard.';

export function degreeWords({ degree, hasConstant }: Pick<SenseResult, 'degree' | 'hasConstant'>): string {
  const names = { 1: 'Straight line', 2: 'Second degree', 3: 'Third degree' } as const;
  const name = degree === 1 || degree === 2 || degree === 3 ? names[degree] : `Degree ${degree}`;
  return `${name}, ${hasConstant ? 'with a constant' : 'through the zero'}`;
}

export function classWords({ classification }: SenseResult, torque: ResultTorque): string {
  const { reached, fromNm } = classification;
  if (reached === null) return 'No class';
  const from = fromNm === null ? '' : ` from ${torque.format(fromNm)} up`;
  return `Class ${formatNumber(reached, decimalsOf(reached))}${from}`;
}

export function lowerLimitWords({ lowerLimit }: SenseResult, torque: ResultTorque): string {
  const parts = [
    lowerLimit.classAANm === null ? null : `class AA from ${torque.format(lowerLimit.classAANm)}`,
    lowerLimit.classANm === null ? null : `class A from ${torque.format(lowerLimit.classANm)}`,
  ].filter((part) => part !== null);
  if (parts.length > 0) return parts.join(', ');
  return lowerLimit.lowerLimitFactorNm === null
    ? 'No lower limit'
    : `Lower limit factor ${torque.format(lowerLimit.lowerLimitFactorNm)}`;
}

function decimalsOf(value: number): number {
  return String(value).split('.')[1]?.length ?? 0;
}

export const severityWords: Readonly<Record<Finding['severity'], string>> = {
  stop: 'Stop',
  look: 'Look at this',
  note: 'Note',
};

/** What must be put right first, then what needs a look, then the rest. */
export function rankFindings(findings: readonly Finding[]): Finding[] {
  const rank = { stop: 0, look: 1, note: 2 } as const;
  return [...findings].sort((a, b) => rank[a.severity] - rank[b.severity]);
}

export function distributionWords(distribution: BudgetTerm['distribution']): string {
  switch (distribution) {
    case 'normal':
    case 'rectangular':
    case 'triangular':
    case 'cosine':
      return distribution;
    case 't':
      return 't';
    default:
      return assertNever(distribution, 'This distribution has no words');
  }
}

/** The picture of the residuals in a sentence. */
export function residualSummary(points: readonly ResidualPoint[], torque: ResultTorque): string {
  const worst = points
    .filter(({ isIncreasing }) => isIncreasing)
    .reduce<ResidualPoint | null>(
      (worstYet, point) =>
        worstYet === null || Math.abs(point.residualPercent) > Math.abs(worstYet.residualPercent)
          ? point
          : worstYet,
      null,
    );
  if (worst === null) return 'No loaded reading yet.';
  return (
    `${points.length} loaded ${points.length === 1 ? 'reading' : 'readings'}. The rising reading farthest from the fit lies ` +
    `${percentWords(worst.residualPercent)} from it, at ${torque.format(worst.torqueNm)}.`
  );
}

/** The curve of the uncertainty in a sentence. */
export function uncertaintySummary(result: SenseResult, time: BudgetTime, torque: ResultTorque): string {
  const first = result.steps[0];
  const last = result.steps.at(-1);
  if (first === undefined || last === undefined) return 'There is no step.';
  const of = (step: typeof first) =>
    percentWords((time === 'bench' ? step.atBench : step.atCalibration).relativeExpandedPercent);
  return result.steps.length === 1
    ? `±${of(first)} at ${torque.format(first.torqueNm)} ${timeWords[time]}, coverage 95 %.`
    : `From ±${of(first)} at ${torque.format(first.torqueNm)} to ±${of(last)} at ${torque.format(last.torqueNm)} ${timeWords[time]}, coverage 95 %.`;
}

/** What limits the calibration most, at its highest step. */
export function shareSummary(result: SenseResult, time: BudgetTime, torque: ResultTorque): string {
  const last = result.steps.at(-1);
  if (last === undefined) return 'There is no step.';
  const [first, second] = budgetShares(last.terms, time);
  if (first === undefined || first.sharePercent === 0) return 'Nothing in the budget varies.';
  const share = ({ term, sharePercent }: typeof first) =>
    `${term.source} (${formatNumber(sharePercent, 0)} %)`;
  const next = second === undefined || second.sharePercent < 1 ? '' : `, then ${share(second)}`;
  return `At ${torque.format(last.torqueNm)} most of u² ${timeWords[time]} comes from ${share(first)}${next}.`;
}

/** A bar of the picture in words, for those who do not see it. */
export function barWords(bar: SharePicture['bars'][number], torque: ResultTorque): string {
  const parts = bar.segments
    .filter(({ sharePercent }) => sharePercent >= 0.5)
    .map(({ source, sharePercent }) => `${source} ${formatNumber(sharePercent, 0)} %`);
  return `${torque.format(bar.step.torqueNm)}: ${parts.join(', ')}`;
}

export const STEPS_CAPTION =
  'Each step: deviations in % of the deflection, expanded uncertainty (95 %) in % of the torque. A dash: the series do not tell.';

export function budgetCaption(step: StepResult, time: BudgetTime, torque: ResultTorque): string {
  return `Budget at ${torque.format(step.torqueNm)}, ${timeWords[time]}. Common terms are the same in all repeats: more repeats do not make them smaller.`;
}
