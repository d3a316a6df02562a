import type { StatedUncertainty, Weight, WeightClass } from './standards-model.ts';

/** Nominal mass in g and the maximum permissible errors in mg, in the order of `classes`. */
const table: readonly (readonly [number, ...number[]])[] = [
  [50_000, 80, 250, 800, 2500, 8000, 25_000],
  [20_000, 30, 100, 300, 1000, 3000, 10_000],
  [10_000, 16, 50, 160, 500, 1600, 5000],
  [5000, 8, 25, 80, 250, 800, 2500],
  [2000, 3, 10, 30, 100, 300, 1000],
  [1000, 1.6, 5, 16, 50, 160, 500],
  [500, 0.8, 2.5, 8, 25, 80, 250],
  [200, 0.3, 1, 3, 10, 30, 100],
  [100, 0.16, 0.5, 1.6, 5, 16, 50],
  [50, 0.1, 0.3, 1, 3, 10, 30],
  [20, 0.08, 0.25, 0.8, 2.5, 8, 25],
  [10, 0.06, 0.2, 0.6, 2, 6, 20],
  [5, 0.05, 0.16, 0.5, 1.6, 5, 16],
  [2, 0.04, 0.12, 0.4, 1.2, 4, 12],
  [1, 0.03, 0.1, 0.3, 1, 3, 10],
];
const classes: readonly WeightClass[] = ['E2', 'F1', 'F2', 'M1', 'M2', 'M3'];

/** What only rounding in the computer keeps from a nominal mass is that mass. */
const NOMINAL_TOLERANCE = 1e-9;

/**
 * Maximum permissible error of a nominal mass, in kg; null where the class has no such nominal mass.
 * Source: OIML R 111-1:2004, table 1, as quoted by others (tests/fixtures/reference-values/oiml-r111-mpe.json).
 */
export function weightLimitKg(massKg: number, weightClass: WeightClass): number | null {
  const row = table.find(([nominalG]) => Math.abs((massKg * 1000) / nominalG - 1) < NOMINAL_TOLERANCE);
  const limitMg = row?.[1 + classes.indexOf(weightClass)];
  return limitMg === undefined ? null : limitMg / 1e6;
}

/** Nominal masses of the table in kg, rising. */
export const nominalMassesKg: readonly number[] = table.map(([nominalG]) => nominalG / 1000).reverse();

export interface StandardUncertainty {
  /** Half-width or expanded uncertainty as it was stated. */
  readonly value: number;
  readonly divisor: number;
  readonly distribution: 'normal' | 'rectangular';
  readonly standard: number;
}

/** A limit is rectangular; a certificate states U and k. */
export function standardUncertaintyOf(stated: StatedUncertainty): StandardUncertainty {
  return stated.kind === 'limit'
    ? rectangular(stated.limit)
    : {
        value: stated.expanded,
        divisor: stated.coverageFactor,
        distribution: 'normal',
        standard: stated.expanded / stated.coverageFactor,
      };
}

export function rectangular(halfWidth: number): StandardUncertainty {
  return {
    value: halfWidth,
    divisor: Math.sqrt(3),
    distribution: 'rectangular',
    standard: halfWidth / Math.sqrt(3),
  };
}

/** Of one weight, in kg; null where its class has no such nominal mass. */
export function massUncertaintyKg({ massKg, tolerance }: Weight): StandardUncertainty | null {
  if (tolerance.kind === 'own') return standardUncertaintyOf(tolerance.uncertaintyKg);
  const limitKg = weightLimitKg(massKg, tolerance.weightClass);
  return limitKg === null ? null : rectangular(limitKg);
}
