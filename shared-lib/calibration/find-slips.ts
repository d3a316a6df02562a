import { Matrix, QrDecomposition } from 'ml-matrix';
import { levelMeans, scaleOf } from './choose-fit.ts';
import type { Distributions } from './distributions.ts';
import type { Series } from './series-figures.ts';

export interface Slip {
  /** The first reading that lies off. */
  readonly index: number;
  readonly torqueNm: number;
  /** Position of its series among those given. */
  readonly series: number;
  /** The readings from there on read by so much more. */
  readonly changePercent: number;
}

/** Ours: what is less than this off does no harm worth a second look. */
const LEAST_PERCENT = 0.1;
/** Of a run to be called slipped by chance. */
const FALSE_ALARM = 0.01;

interface Point {
  readonly index: number;
  readonly series: number;
  readonly step: string;
  readonly torqueNm: number;
  readonly counts: number;
}

/**
 * Where something slipped in the middle of a series and stayed so until its end, as an arm that turns on the drive does:
 * each such place is tried as one more unknown (F against what the model leaves, Bonferroni's share for each), and the one
 * that explains most is told, unless a single stray reading explains more. Null: none.
 *
 * The model: each step reads what it reads, rising and falling apart, and each series has a gain of its own. A single
 * series has a curve of the second degree instead, and only its rising half.
 */
export function findSlip(
  series: readonly Series[],
  { fUpperTail }: Pick<Distributions, 'fUpperTail'>,
): Slip | null {
  const points = pointsOf(series);
  const rows = modelOf(points);
  const degreesOfFreedom = points.length - (rows[0]?.length ?? 0) - 1;
  if (degreesOfFreedom < 2) return null;
  const design = new QrDecomposition(new Matrix(rows));
  if (!design.isFullRank()) return null;
  const basis = design.orthogonalMatrix;
  const leftOf = (values: readonly number[]): number[] => {
    const column = Matrix.columnVector([...values]);
    return Matrix.sub(column, basis.mmul(basis.transpose().mmul(column))).to1DArray();
  };
  const left = leftOf(points.map(({ counts }) => counts));
  const squares = dot(left, left);
  const explain = (regressor: readonly number[]): { change: number; p: number } => {
    const own = leftOf(regressor);
    const length = dot(own, own);
    // A place that the model takes up by itself explains nothing.
    if (length < 1e-9 * dot(regressor, regressor)) return { change: 0, p: 1 };
    const explained = dot(own, left) ** 2 / length;
    const rest = Math.max(squares - explained, Number.EPSILON * squares) / degreesOfFreedom;
    const p = rest === 0 ? 1 : fUpperTail(explained / rest, 1, degreesOfFreedom);
    return { change: dot(own, left) / length, p };
  };

  const singles = points.map((_, at) => explain(points.map((__, other) => (other === at ? 1 : 0))).p);
  const slips = points.flatMap((point, at) => {
    // With one reading alone on either side it is that reading which is stray.
    const isOfSeries = (other: number): boolean => points[other]?.series === point.series;
    if (!isOfSeries(at - 2) || !isOfSeries(at + 1)) return [];
    const { change, p } = explain(
      points.map(({ series: of, counts }, other) => (of === point.series && other >= at ? counts : 0)),
    );
    const { index, torqueNm, series: of } = point;
    return [{ index, torqueNm, series: of, changePercent: 100 * change, p }];
  });
  const [most] = [...slips].sort((one, other) => one.p - other.p);
  if (most === undefined || most.p > FALSE_ALARM / slips.length) return null;
  if (Math.abs(most.changePercent) < LEAST_PERCENT || most.p >= Math.min(...singles)) return null;
  const { index, torqueNm, series: of, changePercent } = most;
  return { index, torqueNm, series: of, changePercent };
}

/** In the order in which they were read. */
function pointsOf(series: readonly Series[]): Point[] {
  const hasOthers = series.filter(({ increasing }) => increasing.length > 0).length > 1;
  const fallingOften = series.filter(({ decreasing }) => decreasing.length > 0).length > 1;
  return series.flatMap(({ increasing, decreasing }, position) => {
    const falling = hasOthers && fallingOften ? [...decreasing].reverse() : [];
    const pointOf =
      (way: 'up' | 'down') =>
      ({ index, arm, level, torqueNm, counts }: Series['increasing'][number]): Point => ({
        index,
        series: position,
        step: `${way} ${arm} ${level}`,
        torqueNm,
        counts,
      });
    return [...increasing.map(pointOf('up')), ...falling.map(pointOf('down'))];
  });
}

function modelOf(points: readonly Point[]): number[][] {
  const present = [...new Set(points.map(({ series }) => series))];
  const topNm = Math.max(...points.map(({ torqueNm }) => Math.abs(torqueNm)));
  if (present.length === 1) {
    return points.map(({ torqueNm }) => [torqueNm / topNm, (torqueNm / topNm) ** 2]);
  }
  const steps = [...new Set(points.map(({ step }) => step))];
  return points.map(({ step, series, torqueNm }) => [
    ...steps.map((candidate) => (candidate === step ? 1 : 0)),
    ...present.slice(1).map((candidate) => (candidate === series ? torqueNm / topNm : 0)),
  ]);
}

const dot = (one: readonly number[], other: readonly number[]): number =>
  one.reduce((sum, value, index) => sum + value * (other[index] ?? 0), 0);

export interface GainChange {
  readonly kind: 'repeats' | 'mountings' | 'trend';
  readonly percent: number;
}

/** Ours: two series of one mounting, and mountings, agree within what class 0.5 allows (from memory). */
const REPEATS_DIFFER_PERCENT = 0.25;
const MOUNTINGS_DIFFER_PERCENT = 0.5;
/** Ours: so much, always the same way, over at least three series. */
const TREND_PERCENT = 0.15;
const TREND_SERIES = 3;

/** Where the gain of the whole series does not stay what it was. */
export function findGainChanges(series: readonly Series[]): GainChange[] {
  const arms = new Set(series.flatMap(({ increasing }) => increasing.map(({ arm }) => arm)));
  const most = Math.max(0, ...series.map(({ increasing }) => increasing.length));
  // Half a series would be held against the steps that it lacks.
  const whole = series.filter(({ increasing }) => increasing.length === most && most > 0);
  const changes: GainChange[] = [];
  const scalesOf = (some: readonly Series[]): number[] => {
    const means = new Map(levelMeans(some).map(({ torqueNm, counts }) => [torqueNm, counts]));
    return some.map(({ increasing }) => 100 * scaleOf(increasing, means));
  };
  const repeats = Math.max(
    0,
    ...[...Map.groupBy(whole, ({ mounting }) => mounting).values()].map((some) => span(scalesOf(some))),
  );
  if (repeats > REPEATS_DIFFER_PERCENT) changes.push({ kind: 'repeats', percent: repeats });
  // On another arm it is another torque, with a finding of its own.
  if (arms.size > 1) return changes;
  const scales = scalesOf(whole);
  const ofMountings = span(scales);
  const hasMountings = new Set(whole.map(({ mounting }) => mounting)).size > 1;
  if (hasMountings && repeats <= REPEATS_DIFFER_PERCENT && ofMountings > MOUNTINGS_DIFFER_PERCENT) {
    changes.push({ kind: 'mountings', percent: ofMountings });
  }
  const steps = scales.slice(1).map((scale, position) => scale - (scales[position] ?? scale));
  const isOneWay = steps.every((step) => step > 0) || steps.every((step) => step < 0);
  if (scales.length >= TREND_SERIES && isOneWay && ofMountings > TREND_PERCENT) {
    changes.push({ kind: 'trend', percent: (scales.at(-1) ?? 0) - (scales[0] ?? 0) });
  }
  return changes;
}

const span = (values: readonly number[]): number =>
  values.length === 0 ? 0 : Math.max(...values) - Math.min(...values);
