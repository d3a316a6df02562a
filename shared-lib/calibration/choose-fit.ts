import { AppError } from '../app-error.ts';
import { formatNumber, THIN_SPACE } from '../format-quantity.ts';
import type { Distributions } from './distributions.ts';
import { evaluateFit, fitPolynomial, type FitModel, type PolynomialFit } from './fit-polynomial.ts';
import type { FitOverride } from './result-model.ts';
import type { StepSquares } from './scatter-along-torque.ts';
import { mean, type Series } from './series-figures.ts';

export interface FitCandidate {
  readonly fit: PolynomialFit;
  /** With the mountings taken out as a block; null where nothing is repeated. */
  readonly lackOfFit: StepLackOfFit | null;
  /** Largest |mean - fitted| / |fitted|, and the largest |mean - fitted|. */
  readonly greatestInterpolationPercent: number;
  readonly greatestInterpolationCounts: number;
  readonly isMonotone: boolean;
}

export interface StepLackOfFit {
  readonly p: number;
  /** Under 0.01: the curve misses the steps by more than they scatter. */
  readonly isSignificant: boolean;
  readonly degreesOfFreedom: number;
  /** Standard deviation of the distances beyond what the scatter of the means explains; 0 where it explains them. */
  readonly excessCounts: number;
}

export interface ChosenFit extends FitCandidate {
  readonly candidates: readonly FitCandidate[];
  readonly reason: string;
  readonly overrideReason: string | null;
}

const HIGHEST_DEGREE = 3;
const LACK_OF_FIT_P = 0.01;
/** Ours: a miss that chance makes more often than this is scatter, and counted there already. */
const NOTICED_P = 0.1;
/** A higher degree has to take away at least this share of the largest interpolation error. */
const LEAST_GAIN = 1 / 3;

const words = ['', 'a straight line', 'a quadratic curve', 'a cubic curve'] as const;

/**
 * Fits the deflection in counts to the signed torque in N m, through the zero in use, and chooses the degree.
 *
 * The rule (ours): a line, unless lack of fit says that it misses the steps (F, p < 0.01), the next degree takes away a
 * third of the largest interpolation error, that error exceeds the resolution, and the next curve rises throughout. At
 * most levels - 3. The scatter that lack of fit is held against is that of the table of steps and series after each
 * series was given a scale of its own: a mounting multiplies all its readings alike, and is not noise.
 *
 * Errors: AppError 'calibration-degenerate' where not even a line can be fitted, or where the override's curve cannot be or
 * turns back.
 */
export function chooseFit(
  series: readonly Series[],
  resolutionCounts: number,
  override: FitOverride | null,
  distributions: Distributions,
): ChosenFit {
  const points = series.flatMap(({ increasing }) =>
    increasing.map(({ torqueNm, counts }) => ({ x: torqueNm, y: counts })),
  );
  const levels = new Set(points.map(({ x }) => x)).size;
  const candidateOf = (model: FitModel): FitCandidate =>
    describeFit(fitPolynomial(points, model, distributions), series, distributions);

  const candidates = [candidateOf({ degree: 1, throughZero: true })];
  for (let degree = 2; degree <= Math.min(HIGHEST_DEGREE, levels - 3); degree += 1) {
    candidates.push(candidateOf({ degree, throughZero: true }));
  }
  if (override !== null) {
    const { degree, hasConstant, reason } = override;
    const wanted = candidateOf({ degree, throughZero: !hasConstant });
    if (!wanted.isMonotone) {
      throw new AppError(
        'calibration-degenerate',
        `${capital(words[degree] ?? '')} through these readings turns back within their range, so one reading would stand for two torques. Take a lower degree; the readings are safe.`,
        { degree },
      );
    }
    return {
      ...wanted,
      candidates,
      reason: `${capital(words[degree] ?? '')}${hasConstant ? ' with a constant' : ''}, as the operator chose.`,
      overrideReason: reason,
    };
  }
  return { ...chooseByRule(candidates, levels, resolutionCounts), candidates, overrideReason: null };
}

function chooseByRule(
  candidates: readonly FitCandidate[],
  levels: number,
  resolutionCounts: number,
): FitCandidate & { readonly reason: string } {
  let [chosen] = candidates;
  if (chosen === undefined) throw new Error('There is always a line among the candidates');
  const reasons: string[] = [];
  for (const next of candidates.slice(1)) {
    const degree = next.fit.model.degree;
    const nextWords = words[degree] ?? '';
    const { lackOfFit } = chosen;
    if (lackOfFit === null) {
      reasons.push('Nothing is repeated, so that nothing tells whether a line misses the steps.');
      break;
    }
    const { p } = lackOfFit;
    if (!lackOfFit.isSignificant) {
      reasons.push(
        `It misses the steps by no more than they scatter (lack of fit, p ${formatNumber(p, 3)}).`,
      );
      break;
    }
    const falls = 1 - next.greatestInterpolationPercent / chosen.greatestInterpolationPercent;
    if (chosen.greatestInterpolationCounts <= resolutionCounts) {
      reasons.push('It misses the steps by no more than the resolution.');
      break;
    }
    if (falls < LEAST_GAIN) {
      reasons.push(
        `${capital(nextWords)} would take away only ${formatNumber(Math.max(0, 100 * falls), 0)}${THIN_SPACE}% of its largest interpolation error.`,
      );
      break;
    }
    if (!next.isMonotone) {
      reasons.push(`${capital(nextWords)} would turn back within the range.`);
      break;
    }
    reasons.push(
      `A lower degree misses the steps by more than they scatter (lack of fit, p ${p < 1e-4 ? 'under 0.0001' : formatNumber(p, 4)}); this one takes ${formatNumber(100 * falls, 0)}${THIN_SPACE}% off the largest interpolation error.`,
    );
    chosen = next;
  }
  if (candidates.length === 1) reasons.push(`With ${levels} different torques no higher degree is tried.`);
  return {
    ...chosen,
    reason: `${capital(words[chosen.fit.model.degree] ?? '')} through the zero. ${reasons.join(' ')}`,
  };
}

/** `series`: those that were fitted. */
function describeFit(
  fit: PolynomialFit,
  series: readonly Series[],
  distributions: Pick<Distributions, 'fUpperTail'>,
): FitCandidate {
  const steps = levelMeans(series);
  const errors = steps.map(({ torqueNm, counts }) => counts - evaluateFit(fit, torqueNm));
  const greatestTorqueNm = Math.max(...steps.map(({ torqueNm }) => Math.abs(torqueNm)));
  const sign = Math.sign(steps[0]?.torqueNm ?? 1);
  return {
    fit,
    lackOfFit: testSteps(fit, series, distributions),
    greatestInterpolationPercent: Math.max(
      ...steps.map(({ torqueNm }, index) =>
        Math.abs((100 * (errors[index] ?? 0)) / evaluateFit(fit, torqueNm)),
      ),
    ),
    greatestInterpolationCounts: Math.max(...errors.map(Math.abs)),
    isMonotone: isMonotone(fit, sign * greatestTorqueNm),
  };
}

export interface LevelMean {
  readonly torqueNm: number;
  readonly counts: number;
}

/** Mean deflection of each torque, over the series that have it. */
export function levelMeans(series: readonly Series[]): LevelMean[] {
  const byTorque = Map.groupBy(
    series.flatMap(({ increasing }) => increasing),
    ({ torqueNm }) => torqueNm,
  );
  return [...byTorque].map(([torqueNm, points]) => ({
    torqueNm,
    counts: mean(points.map(({ counts }) => counts)),
  }));
}

export interface RepeatScatter {
  readonly standardDeviationCounts: number;
  readonly degreesOfFreedom: number;
  /** The same by steps; the degrees of freedom are shared out evenly. */
  readonly steps: readonly StepSquares[];
}

/**
 * Scatter of the readings of several series of the same steps, after each series was given a scale of its own; null under
 * two whole series. With L steps and n series it has (L - 1)(n - 1) degrees of freedom. Series of one step are repeats of
 * that step and have no scale.
 */
export function repeatScatter(series: readonly Series[]): RepeatScatter | null {
  const most = Math.max(0, ...series.map(({ increasing }) => increasing.length));
  if (most === 1) return scatterOfRepeats(series);
  const whole = series.filter(({ increasing }) => increasing.length === most);
  const degreesOfFreedom = (most - 1) * (whole.length - 1);
  if (degreesOfFreedom < 1) return null;
  const means = new Map(levelMeans(whole).map(({ torqueNm, counts }) => [torqueNm, counts]));
  if (means.size !== most) return null;
  const left = whole.flatMap(({ increasing }) => {
    const scale = scaleOf(increasing, means);
    return increasing.map(({ torqueNm, counts }) => ({
      torqueNm,
      residualCounts: counts - scale * (means.get(torqueNm) ?? 0),
    }));
  });
  return scatterOf(left, degreesOfFreedom);
}

/** Of what is left of readings once everything that they share was taken out. */
export function scatterOf(
  left: readonly { readonly torqueNm: number; readonly residualCounts: number }[],
  degreesOfFreedom: number,
): RepeatScatter {
  const share = degreesOfFreedom / left.length;
  const steps = [...Map.groupBy(left, ({ torqueNm }) => torqueNm)].map(([torqueNm, points]) => ({
    torqueNm,
    meanSquare: mean(points.map(({ residualCounts }) => residualCounts ** 2)) / share,
    degreesOfFreedom: share * points.length,
  }));
  const squares = left.reduce((sum, { residualCounts }) => sum + residualCounts ** 2, 0);
  return { standardDeviationCounts: Math.sqrt(squares / degreesOfFreedom), degreesOfFreedom, steps };
}

function scatterOfRepeats(series: readonly Series[]): RepeatScatter | null {
  const groups = [...Map.groupBy(series, ({ mounting }) => mounting).values()]
    .map((ofMounting) => ofMounting.flatMap(({ increasing }) => increasing))
    .filter(({ length }) => length > 1);
  const degreesOfFreedom = groups.reduce((sum, { length }) => sum + length - 1, 0);
  if (degreesOfFreedom < 1) return null;
  const left = groups.flatMap((points) => {
    const centre = mean(points.map(({ counts }) => counts));
    return points.map(({ torqueNm, counts }) => ({ torqueNm, residualCounts: counts - centre }));
  });
  return scatterOf(left, degreesOfFreedom);
}

/** By how much a series reads more than the mean of all: least squares through zero. */
export function scaleOf(points: Series['increasing'], means: ReadonlyMap<number, number>): number {
  let products = 0;
  let squares = 0;
  for (const { torqueNm, counts } of points) {
    const level = means.get(torqueNm) ?? 0;
    products += counts * level;
    squares += level ** 2;
  }
  return squares === 0 ? 1 : products / squares;
}

function testSteps(
  fit: PolynomialFit,
  series: readonly Series[],
  { fUpperTail }: Pick<Distributions, 'fUpperTail'>,
): StepLackOfFit | null {
  const scatter = repeatScatter(series);
  const steps = levelMeans(series);
  const degreesOfFreedom = steps.length - fit.coefficients.length;
  if (scatter === null || degreesOfFreedom < 1 || scatter.standardDeviationCounts === 0) return null;
  const squares = steps.reduce(
    (sum, { torqueNm, counts }) => sum + (counts - evaluateFit(fit, torqueNm)) ** 2,
    0,
  );
  const ofMeans = squares / degreesOfFreedom;
  const expected = scatter.standardDeviationCounts ** 2 / series.length;
  const p = fUpperTail(ofMeans / expected, degreesOfFreedom, scatter.degreesOfFreedom);
  return {
    p,
    isSignificant: p < LACK_OF_FIT_P,
    degreesOfFreedom,
    excessCounts: p < NOTICED_P ? Math.sqrt(Math.max(0, ofMeans - expected)) : 0,
  };
}

/** Whether the curve neither turns nor stands still from zero to `toNm`. */
export function isMonotone(
  { coefficients, model }: Pick<PolynomialFit, 'coefficients' | 'model'>,
  toNm: number,
): boolean {
  const [c1 = 0, c2 = 0, c3 = 0] = model.throughZero ? coefficients : coefficients.slice(1);
  const slope = (x: number): number => c1 + 2 * c2 * x + 3 * c3 * x ** 2;
  // A slope of the second degree has its extreme value at the ends or where its own slope is zero.
  const turning = c3 === 0 ? 0 : -c2 / (3 * c3);
  const isWithin = turning * toNm > 0 && Math.abs(turning) < Math.abs(toNm);
  const slopes = [slope(0), slope(toNm), ...(isWithin ? [slope(turning)] : [])];
  return slopes.every((value) => value > 0) || slopes.every((value) => value < 0);
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
