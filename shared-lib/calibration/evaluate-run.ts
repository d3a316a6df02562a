import { AppError } from '../app-error.ts';
import type { Direction } from '../trial/step-model.ts';
import { appliedTorque } from './applied-torque.ts';
import { type ChosenFit, chooseFit, repeatScatter, scatterOf } from './choose-fit.ts';
import { classify } from './classify.ts';
import type { Distributions } from './distributions.ts';
import { evaluateFit, type PolynomialFit } from './fit-polynomial.ts';
import { type FittedStep, independentTerms, type SenseScatter } from './independent-terms.ts';
import { gainScatter, pooledOverSenses } from './gain-scatter.ts';
import { lowerLimit } from './lower-limit.ts';
import type {
  BudgetTerm,
  CalibrationResult,
  Finding,
  FitOverride,
  SenseResult,
  StepResult,
} from './result-model.ts';
import { type GainsInUse, runFindings, senseFindings } from './run-findings.ts';
import type { PlannedReading, RunSetup, TakenReading } from './run-model.ts';
import { scatterAlongTorque } from './scatter-along-torque.ts';
import {
  bendingPercent,
  collectSeries,
  creepPercent,
  fittedSeries,
  mean,
  type Series,
  type StepFigures,
  stepFigures,
  zeroReturnPercent,
} from './series-figures.ts';
import { summariseResult } from './summarise-result.ts';
import { combineTerms } from './uncertainty-budget.ts';

/** Raised whenever the same readings could come to another result. */
export const CALIBRATION_DEFINITION_VERSION = 1;

export interface RunToEvaluate {
  readonly setup: RunSetup;
  readonly readings: readonly PlannedReading[];
  readonly taken: readonly TakenReading[];
  readonly overrides: readonly FitOverride[];
  readonly capacityNm: number | null;
  /** The calibration in use, which a slip in arm or weights stands out against; null: none. */
  readonly inUse?: GainsInUse | null;
}

/**
 * What the readings of a run come to, of an unfinished one too: fit, uncertainty and findings of each sense that was read.
 *
 * Errors: AppError 'calibration-degenerate' where no sense carries a line, or an override cannot be; those of `appliedTorque`.
 */
export function evaluateRun(run: RunToEvaluate, distributions: Distributions): CalibrationResult {
  const { setup, readings, taken } = run;
  const evaluated = setup.senses.flatMap((sense) => {
    const series = collectSeries(readings, taken, sense);
    const levels = new Set(
      fittedSeries(series).flatMap(({ increasing }) => increasing.map(({ torqueNm }) => torqueNm)),
    );
    const pointCount = fittedSeries(series).reduce((sum, { increasing }) => sum + increasing.length, 0);
    return levels.size < 1 || pointCount < 2 ? [] : [evaluateSense(run, sense, series, distributions)];
  });
  const [first] = evaluated;
  if (first === undefined) {
    throw new AppError(
      'calibration-degenerate',
      'There are not yet two readings under load behind a zero, so there is nothing to fit. The readings are safe; go on with the run.',
    );
  }
  const senses = evaluated.map(({ result }) => result);
  const findings = [...evaluated.flatMap((each) => each.findings), ...runFindings(run, senses)];
  const { gravityMps2, airDensityKgM3 } = appliedTorque({
    weights: setup.levels[0] ?? [],
    arm: setup.arm,
    site: setup.site,
    way: setup.way,
  });
  return {
    definitionVersion: CALIBRATION_DEFINITION_VERSION,
    senses,
    gravityMps2,
    airDensityKgM3,
    findings,
    summary: summariseResult(setup, senses, findings),
  };
}

function evaluateSense(
  run: RunToEvaluate,
  sense: Direction,
  series: readonly Series[],
  distributions: Distributions,
): { result: SenseResult; findings: Finding[] } {
  const { setup, readings, taken, capacityNm } = run;
  const fitted = fittedSeries(series);
  const ofOtherSense = fittedSeries(
    collectSeries(readings, taken, sense === 'forward' ? 'reverse' : 'forward'),
  );
  const figures = stepFigures(series);
  const resolutionCounts = resolutionOf(taken);
  const override = run.overrides.find((candidate) => candidate.sense === sense) ?? null;
  const chosen = chooseFit(fitted, resolutionCounts, override, distributions);
  const { fit } = chosen;
  const creep = creepPercent(readings, taken, series);
  const bending = bendingPercent(readings, taken, series);
  const scatter: SenseScatter = {
    repeat: repeatOf(series, chosen),
    gain: pooledOverSenses(gainScatter(fitted), gainScatter(ofOtherSense), distributions),
    resolutionCounts,
    greatestZeroShiftCounts: Math.max(
      0,
      ...series.map(({ zeroShiftCounts }) => Math.abs(zeroShiftCounts ?? 0)),
    ),
    meanZeroShiftCounts: Math.abs(mean(fitted.map(({ zeroShiftCounts }) => zeroShiftCounts ?? 0))),
    creepShare: (creep ?? 0) / 100,
    bendingShare: (bending ?? 0) / 100,
  };
  const fittedSteps = fittedStepsOf(figures, chosen);
  const steps = figures.map((figure, index): StepResult & { appliedTorquePercent: number } => {
    const step = fittedSteps[index];
    if (step === undefined) throw new Error('Every step has been fitted');
    const common = commonTerms(setup, figure);
    const terms = [...common, ...independentTerms(step, scatter, setup.benchTerms, capacityNm)];
    const atCalibration = combineTerms(
      terms.filter(({ time }) => time === 'calibration'),
      figure.torqueNm,
      distributions,
    );
    return {
      level: figure.level,
      torqueNm: figure.torqueNm,
      meanDeflectionCounts: figure.meanDeflectionCounts,
      fittedCounts: step.fittedCounts,
      interpolationPercent: (100 * (figure.meanDeflectionCounts - step.fittedCounts)) / step.fittedCounts,
      repeatabilityPercent: figure.repeatabilityPercent,
      reproducibilityPercent: figure.reproducibilityPercent,
      reversibilityPercent: figure.reversibilityPercent,
      terms,
      atCalibration,
      atBench: combineTerms(terms, figure.torqueNm, distributions),
      appliedTorquePercent:
        2 *
        combineTerms(common, figure.torqueNm, distributions).standardNm *
        (100 / Math.abs(figure.torqueNm)),
    };
  });
  const zeroReturn = zeroReturnPercent(series);
  const torquesNm = figures.map(({ torqueNm }) => Math.abs(torqueNm));
  const validToNm = Math.max(...torquesNm);
  const topSlope = fittedSteps.at(-1);
  const points = fitted.flatMap(({ increasing }) => increasing);
  const result: SenseResult = {
    sense,
    degree: fit.model.degree,
    hasConstant: !fit.model.throughZero,
    coefficients: [...fit.coefficients],
    covariance: fit.covariance.map((row) => [...row]),
    residualStandardDeviationCounts: fit.residualStandardDeviation,
    degreesOfFreedom: fit.degreesOfFreedom,
    candidates: chosen.candidates.map((candidate) => ({
      degree: candidate.fit.model.degree,
      residualStandardDeviationCounts: candidate.fit.residualStandardDeviation,
      lackOfFitP: candidate.lackOfFit?.p ?? null,
      greatestInterpolationPercent: candidate.greatestInterpolationPercent,
      isMonotone: candidate.isMonotone,
    })),
    degreeReason: chosen.reason,
    overrideReason: chosen.overrideReason,
    steps: steps.map(({ appliedTorquePercent: _, ...step }) => step),
    zeroReturnPercent: zeroReturn,
    creepPercent: creep,
    bendingPercent: bending,
    classification:
      setup.way === 'oneWeight'
        ? {
            reached: null,
            fromNm: null,
            reason: { sentence: 'No class: this is a single-weight sensitivity.', isFromMemory: false },
          }
        : classify(steps, zeroReturn, new Set(series.map(({ mounting }) => mounting)).size),
    lowerLimit: lowerLimit({
      pointCount: points.length,
      levelCount: figures.length,
      residualStandardDeviationCounts: fit.residualStandardDeviation,
      nmPerCount: (topSlope?.torqueNm ?? 0) / (topSlope?.fittedCounts ?? 1),
    }),
    validFromNm: Math.min(...torquesNm),
    validToNm,
  };
  return { result, findings: senseFindings(run, result, series, distributions) };
}

/** One count, or half the fluctuation of the readings where that is larger. */
function resolutionOf(taken: readonly TakenReading[]): number {
  const fluctuations = taken.map(({ spreadCounts }) => spreadCounts / 2).sort((one, other) => one - other);
  return Math.max(1, fluctuations[Math.floor(fluctuations.length / 2)] ?? 0);
}

function repeatOf(series: readonly Series[], { fit }: ChosenFit): SenseScatter['repeat'] {
  const scatter = repeatScatter(series);
  if (scatter !== null) return { along: scatterAlongTorque(scatter.steps), isFromFit: false };
  if (fit.degreesOfFreedom < 1) return null;
  const points = fittedSeries(series).flatMap(({ increasing }) => increasing);
  const left = points.map(({ torqueNm }, index) => ({
    torqueNm,
    residualCounts: fit.residuals[index] ?? Number.NaN,
  }));
  return { along: scatterAlongTorque(scatterOf(left, fit.degreesOfFreedom).steps), isFromFit: true };
}

function fittedStepsOf(figures: readonly StepFigures[], { fit, lackOfFit }: ChosenFit): FittedStep[] {
  const errors = figures.map(({ torqueNm, meanDeflectionCounts }) =>
    Math.abs(meanDeflectionCounts - evaluateFit(fit, torqueNm)),
  );
  return figures.map(({ torqueNm, reversibilityPercent }, index) => ({
    torqueNm,
    fittedCounts: evaluateFit(fit, torqueNm),
    nmPerCount: 1 / slopeAt(fit, torqueNm),
    leverage: leverageAt(fit, torqueNm),
    interpolation:
      lackOfFit === null || lackOfFit.isSignificant
        ? { limitCounts: Math.max(...errors.slice(Math.max(0, index - 1), index + 2)) }
        : { standardCounts: lackOfFit.excessCounts, degreesOfFreedom: lackOfFit.degreesOfFreedom },
    reversibilityPercent,
  }));
}

function slopeAt({ coefficients, model }: PolynomialFit, x: number): number {
  const first = model.throughZero ? 1 : 0;
  return coefficients.reduce((sum, coefficient, index) => {
    const power = first + index;
    return power === 0 ? sum : sum + power * coefficient * x ** (power - 1);
  }, 0);
}

/** Variance of the curve at x over that of a reading. */
function leverageAt(
  { covariance, model, residualStandardDeviation, residuals }: PolynomialFit,
  x: number,
): number {
  const variance = residualStandardDeviation ** 2;
  // An exact fit says nothing of its own: the mean of as many readings.
  if (variance === 0) return covariance.length / residuals.length;
  const first = model.throughZero ? 1 : 0;
  const powers = covariance.map((_, index) => x ** (first + index));
  const spread = covariance.reduce(
    (sum, row, i) =>
      sum + row.reduce((part, value, j) => part + value * (powers[i] ?? 0) * (powers[j] ?? 0), 0),
    0,
  );
  return spread / variance;
}

function commonTerms(setup: RunSetup, { level, arm }: StepFigures): BudgetTerm[] {
  const { site, way } = setup;
  const usedArm = arm === 'shortArm' ? (setup.shortArm ?? setup.arm) : setup.arm;
  return appliedTorque({ weights: setup.levels[level - 1] ?? [], arm: usedArm, site, way }).terms;
}
