import { formatNumber, formatTorqueInBothUnits, THIN_SPACE } from '../format-quantity.ts';
import { ewmaLimits, individualsLimits, movingRangeSigma, weightedMeans } from './control-chart.ts';
import type { ControlChart, DailyCheck } from './daily-check-model.ts';

export interface CheckToJudge {
  /** Reading minus reference. */
  readonly errorNm: number;
  readonly referenceNm: number;
  /** Expanded (95 %) at the reference; null where the calibration states none. */
  readonly calibrationUncertaintyNm: number | null;
  /** Of the check weight on its arm, expanded; null for a shunt, whose reference is a reading of its own. */
  readonly checkUncertaintyNm: number | null;
  /**
   * Of the checks of the same kind under the same calibration that passed, oldest first. A failed one, a wrong weight
   * perhaps, would widen the limits, and stay in the weighted mean for a dozen checks.
   */
  readonly earlierErrorsPercent: readonly number[];
}

export interface CheckJudgement {
  readonly verdict: 'passed' | 'failed';
  readonly limitNm: number;
  /** The broken ones first. */
  readonly reasons: DailyCheck['reasons'];
}

/** The rules that a check can hold or break. */
export const CHECK_RULES = [
  'joint uncertainty',
  'acceptance limit',
  'individuals chart',
  'EWMA chart',
] as const;
/** Said where the charts cannot judge yet. */
export const NO_CHART_LIMITS = 'control charts';

/** So many checks make the limits of the charts; before them scatter is not known well enough. */
export const BASELINE_CHECKS = 20;
const LAMBDA = 0.2;
const EWMA_FACTOR = 2.9;
/** Ours: whatever charts allow, and where no uncertainty is stated, a bench that reads a percent off is not used as it is. */
export const ACCEPTANCE_PERCENT = 1;

/**
 * Whether a daily check passes.
 *
 * Under 20 checks the error may be as large as the joint expanded uncertainty of calibration and check; where one of them is
 * not known, as large as a fixed limit of 1 % (ours). From then on an individuals chart and an EWMA (lambda 0.2, L 2.9) judge
 * it too, with limits from the first 20 checks, and the fixed limit always: a baseline that moved along would come to accept
 * a slow drift.
 */
export function judgeDailyCheck(check: CheckToJudge): CheckJudgement {
  const { errorNm, referenceNm, earlierErrorsPercent } = check;
  const errorPercent = (100 * errorNm) / Math.abs(referenceNm);
  const acceptanceNm = (ACCEPTANCE_PERCENT / 100) * Math.abs(referenceNm);
  const jointNm =
    check.calibrationUncertaintyNm === null || check.checkUncertaintyNm === null
      ? null
      : Math.hypot(check.calibrationUncertaintyNm, check.checkUncertaintyNm);
  const reasons: DailyCheck['reasons'] = [];
  const add: AddReason = (rule, isBroken, sentence) => {
    reasons.push({ rule, isBroken, sentence });
  };
  const torque = (value: number): string => formatTorqueInBothUnits(value, 2);

  if (jointNm !== null) {
    const isBroken = Math.abs(errorNm) > jointNm;
    add(
      'joint uncertainty',
      isBroken,
      `The error of ${torque(errorNm)} lies ${isBroken ? 'outside' : 'within'} ${torque(jointNm)}, the joint uncertainty of calibration and check (95${THIN_SPACE}%).`,
    );
  }
  const hasBaseline = earlierErrorsPercent.length >= BASELINE_CHECKS;
  const isAcceptanceJudged = jointNm === null || hasBaseline;
  if (isAcceptanceJudged) {
    const isFar = Math.abs(errorNm) > acceptanceNm;
    add(
      'acceptance limit',
      isFar,
      `The error of ${percent(errorPercent)} lies ${isFar ? 'outside' : 'within'} the acceptance limit of ${percent(ACCEPTANCE_PERCENT)}.`,
    );
  }
  if (hasBaseline) addChartReasons([...earlierErrorsPercent, errorPercent], add);
  return {
    verdict: reasons.some(({ isBroken }) => isBroken) ? 'failed' : 'passed',
    limitNm: Math.min(jointNm ?? Infinity, isAcceptanceJudged ? acceptanceNm : Infinity),
    reasons: reasons.sort((one, other) => Number(other.isBroken) - Number(one.isBroken)),
  };
}

type AddReason = (
  rule: (typeof CHECK_RULES)[number] | typeof NO_CHART_LIMITS,
  isBroken: boolean,
  sentence: string,
) => void;

function addChartReasons(errorsPercent: readonly number[], add: AddReason): void {
  const { individuals, ewma, hasScatter } = chartsOf(errorsPercent.map((errorPercent) => ({ errorPercent })));
  if (!hasScatter) {
    add(
      NO_CHART_LIMITS,
      false,
      `The first ${BASELINE_CHECKS} checks read the same to the last digit, so the charts have no limits to judge by.`,
    );
    return;
  }
  for (const [rule, chart, what] of [
    ['individuals chart', individuals, 'The error'],
    ['EWMA chart', ewma, 'The weighted mean of the errors'],
  ] as const) {
    const newest = chart.at(-1);
    if (newest === undefined) continue;
    const { value, lower, upper } = newest;
    const isBroken = value < lower || value > upper;
    add(
      rule,
      isBroken,
      `${what}, ${percent(value)}, lies ${isBroken ? 'outside' : 'within'} ${percent(lower)} to ${percent(upper)}, the limits from the first ${BASELINE_CHECKS} checks.`,
    );
  }
}

interface ChartPoint {
  readonly value: number;
  readonly lower: number;
  readonly upper: number;
}

interface ChartedCheck {
  readonly errorPercent: number;
  /** Shown, but neither in the limits nor in the weighted means of later checks. */
  readonly isFailed?: boolean;
}

function chartsOf(checks: readonly ChartedCheck[]): {
  individuals: ChartPoint[];
  ewma: ChartPoint[];
  centre: number;
  hasScatter: boolean;
} {
  const errorsPercent = checks.map(({ errorPercent }) => errorPercent);
  const isPassed = checks.map(({ isFailed }) => isFailed !== true);
  const passed = errorsPercent.filter((_, index) => isPassed[index]);
  // With fewer than two that passed, the failed ones are all there is to look at.
  const baseline = (passed.length < 2 ? errorsPercent : passed).slice(0, BASELINE_CHECKS);
  const limits = individualsLimits(baseline);
  const sigma = movingRangeSigma(baseline);
  const weighted = weightedMeans(errorsPercent, LAMBDA, limits.centre, isPassed);
  const { centre, lower, upper } = limits;
  return {
    centre,
    individuals: errorsPercent.map((value) => ({ value, lower, upper })),
    ewma: weighted.map((value, index) => {
      const n = 1 + isPassed.slice(0, index).filter(Boolean).length;
      const around = ewmaLimits({ centre, sigma, lambda: LAMBDA, factor: EWMA_FACTOR, n });
      return { value, lower: around.lower, upper: around.upper };
    }),
    hasScatter: sigma > 0,
  };
}

/**
 * The charts of a row of checks of one kind, oldest first; none under two checks. Failed ones are shown, and left out of
 * limits and of later weighted means. Before 20 checks the limits are those of the checks so far, to look at: nothing is
 * judged by them yet.
 */
export function controlCharts(
  checks: readonly (ChartedCheck & { readonly checkId: number; readonly at: string })[],
): ControlChart[] {
  if (checks.length < 2) return [];
  const { individuals, ewma, centre, hasScatter } = chartsOf(checks);
  const chart = (kind: ControlChart['kind'], points: readonly ChartPoint[]): ControlChart => ({
    kind,
    unit: 'percent',
    centre,
    points: checks.flatMap(({ checkId, at }, index) => {
      const point = points[index];
      return point === undefined
        ? []
        : [
            {
              checkId,
              at,
              ...point,
              isOutside: hasScatter && (point.value < point.lower || point.value > point.upper),
            },
          ];
    }),
  });
  return [chart('individuals', individuals), chart('ewma', ewma)];
}

function percent(value: number): string {
  return `${formatNumber(value, 2)}${THIN_SPACE}%`;
}
