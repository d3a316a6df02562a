import type { Distributions } from './distributions.ts';
import type { Deflection, Series } from './series-figures.ts';

export interface StrayReading {
  readonly index: number;
  readonly torqueNm: number;
  /** From what the others tell, in percent of the deflection. */
  readonly deviationPercent: number;
  /** So far that no honest calibration has it. */
  readonly isFar: boolean;
}

/** Ours: what is less than this off the others does no harm worth a second look. */
const LEAST_PERCENT = 0.1;
const FAR_PERCENT = 2;
/** Of any reading of the run to be called stray by chance. */
const FALSE_ALARM = 0.01;

/**
 * Readings of the increasing series that do not fit to the others: the externally studentised residual about a curve
 * through zero that is fitted without the reading, against t with Bonferroni's share for each.
 *
 * Each series is first put on the scale of the others by the median of its ratios, so that a mounting is not taken for
 * stray readings. The curve is of the second degree where there are steps enough, so that a bent transducer is not either.
 * Source: deletion residuals (Belsley, Kuh, Welsch; from memory).
 */
export function findStrayReadings(
  series: readonly Series[],
  { studentTQuantile }: Pick<Distributions, 'studentTQuantile'>,
): StrayReading[] {
  const points = scaledPoints(series);
  const degree = new Set(points.map(({ torqueNm }) => torqueNm)).size >= 5 ? 2 : 1;
  const degreesOfFreedom = points.length - 1 - degree;
  if (degreesOfFreedom < 2) return [];
  const limit = studentTQuantile(1 - FALSE_ALARM / (2 * points.length), degreesOfFreedom);
  return points.flatMap((point, position) => {
    const others = points.filter((_, other) => other !== position);
    const fit = fitThroughZero(others, degree);
    if (fit === null) return [];
    const expected = fit.at(point.torqueNm);
    const deviation = point.scaled - expected;
    const deviationPercent = (100 * deviation) / Math.abs(expected);
    const spread =
      Math.sqrt(fit.squares / (others.length - degree) || 0) * Math.sqrt(1 + fit.leverage(point.torqueNm));
    if (Math.abs(deviationPercent) < LEAST_PERCENT || Math.abs(deviation) <= limit * spread) return [];
    return [
      {
        index: point.index,
        torqueNm: point.torqueNm,
        deviationPercent,
        isFar: Math.abs(deviationPercent) > FAR_PERCENT,
      },
    ];
  });
}

type ScaledPoint = Deflection & { readonly scaled: number };

function scaledPoints(series: readonly Series[]): ScaledPoint[] {
  const ratiosAt = Map.groupBy(
    series.flatMap(({ increasing }) => increasing),
    ({ torqueNm }) => torqueNm,
  );
  const typical = new Map(
    [...ratiosAt].map(([torqueNm, points]) => [torqueNm, median(points.map(({ counts }) => counts))]),
  );
  return series.flatMap(({ increasing }) => {
    const scale = median(
      increasing.map(({ torqueNm, counts }) => counts / (typical.get(torqueNm) ?? counts)),
    );
    return increasing.map((point) => ({ ...point, scaled: point.counts / scale }));
  });
}

/** Least squares of degree 1 or 2 without a constant, by the normal equations of two columns: only residuals are wanted. */
function fitThroughZero(
  points: readonly ScaledPoint[],
  degree: 1 | 2,
): { squares: number; at(x: number): number; leverage(x: number): number } | null {
  const greatest = Math.max(...points.map(({ torqueNm }) => Math.abs(torqueNm)));
  const columns = (x: number): [number, number] => [x / greatest, degree === 2 ? (x / greatest) ** 2 : 0];
  let [aa, ab, bb, ay, by] = [0, 0, 0, 0, 0];
  for (const { torqueNm, scaled } of points) {
    const [a, b] = columns(torqueNm);
    aa += a * a;
    ab += a * b;
    bb += b * b;
    ay += a * scaled;
    by += b * scaled;
  }
  const determinant = degree === 2 ? aa * bb - ab * ab : aa;
  if (!(determinant > 0)) return null;
  const inverse = degree === 2 ? [bb / determinant, -ab / determinant, aa / determinant] : [1 / aa, 0, 0];
  const [p = 0, q = 0, r = 0] = inverse;
  const at = (x: number): number => {
    const [a, b] = columns(x);
    return a * (p * ay + q * by) + b * (q * ay + r * by);
  };
  const leverage = (x: number): number => {
    const [a, b] = columns(x);
    return a * a * p + 2 * a * b * q + b * b * r;
  };
  const squares = points.reduce((sum, { torqueNm, scaled }) => sum + (scaled - at(torqueNm)) ** 2, 0);
  return { squares, at, leverage };
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((one, other) => one - other);
  const middle = sorted.length / 2;
  return ((sorted[Math.ceil(middle) - 1] ?? Number.NaN) + (sorted[Math.floor(middle)] ?? Number.NaN)) / 2;
}
