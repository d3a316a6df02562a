import type { SenseResult } from './result-model.ts';
import type { CalibrationRun, PlannedReading, TakenReading } from './run-model.ts';
import type { Direction } from '../trial/step-model.ts';

/** A reading at a level as a deflection: its zero taken off. */
export interface DeflectionPoint {
  readonly index: number;
  readonly level: number;
  readonly series: number;
  readonly isIncreasing: boolean;
  /** Never negative. */
  readonly torqueNm: number;
  readonly deflectionCounts: number;
}

export interface ResidualPoint extends DeflectionPoint {
  /** Deflection minus the fitted one, in percent of the fitted one. */
  readonly residualPercent: number;
}

type Readings = Pick<CalibrationRun, 'readings' | 'taken'>;

/** What was taken of the series of one sense so far; a series counts from its own zero, or the newest before it. */
export function deflectionPoints({ readings, taken }: Readings, sense: Direction): DeflectionPoint[] {
  const takenAt = new Map<number, TakenReading>(taken.map((reading) => [reading.index, reading]));
  const points: DeflectionPoint[] = [];
  let zeroCounts: number | null = null;
  for (const planned of readings) {
    if (planned.sense !== sense) continue;
    const reading = takenAt.get(planned.index);
    if (reading === undefined) continue;
    if (planned.stage === 'zeroBefore') zeroCounts = reading.meanCounts;
    if (zeroCounts === null || !isOnSeries(planned)) continue;
    points.push({
      index: planned.index,
      level: planned.level,
      series: planned.series,
      isIncreasing: planned.stage === 'increasing',
      torqueNm: planned.torqueNm,
      deflectionCounts: reading.meanCounts - zeroCounts,
    });
  }
  return points;
}

function isOnSeries({ stage, level }: PlannedReading): boolean {
  return level > 0 && (stage === 'increasing' || stage === 'decreasing');
}

/** Deflection by the fit of a result, at a torque without a sign. */
export function fittedCounts(
  result: Pick<SenseResult, 'sense' | 'coefficients' | 'hasConstant'>,
  torqueNm: number,
): number {
  const signedNm = result.sense === 'reverse' ? -torqueNm : torqueNm;
  const firstPower = result.hasConstant ? 0 : 1;
  return result.coefficients.reduce((sum, value, place) => sum + value * signedNm ** (place + firstPower), 0);
}

export function residualPoints(run: Readings, result: SenseResult): ResidualPoint[] {
  return withResiduals(deflectionPoints(run, result.sense), (torqueNm) => fittedCounts(result, torqueNm));
}

/**
 * Residuals from a straight line through the zero, least squares over the increasing points: what can be seen of a run
 * before there is enough for its fit. Empty under two levels, where any line fits.
 */
export function provisionalResiduals(run: Readings, sense: Direction): ResidualPoint[] {
  const points = deflectionPoints(run, sense);
  const increasing = points.filter(({ isIncreasing }) => isIncreasing);
  if (new Set(increasing.map(({ level }) => level)).size < 2) return [];
  const slope =
    increasing.reduce((sum, { torqueNm, deflectionCounts }) => sum + torqueNm * deflectionCounts, 0) /
    increasing.reduce((sum, { torqueNm }) => sum + torqueNm ** 2, 0);
  return withResiduals(points, (torqueNm) => slope * torqueNm);
}

function withResiduals(
  points: readonly DeflectionPoint[],
  fitted: (torqueNm: number) => number,
): ResidualPoint[] {
  return points.flatMap((point) => {
    const expected = fitted(point.torqueNm);
    return expected === 0
      ? []
      : [{ ...point, residualPercent: (100 * (point.deflectionCounts - expected)) / expected }];
  });
}
