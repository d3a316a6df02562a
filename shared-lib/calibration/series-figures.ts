import type { Direction } from '../trial/step-model.ts';
import type { PlannedReading, ReadingStage, TakenReading } from './run-model.ts';
import { signedTorqueNm } from './run-scale.ts';

/** Deflection at one level: counts minus the zero in use, which is the one before the series. */
export interface Deflection {
  readonly index: number;
  readonly level: number;
  readonly arm: PlannedReading['arm'];
  /** Reverse is negative. */
  readonly torqueNm: number;
  readonly counts: number;
}

export interface Series {
  readonly sense: Direction;
  readonly mounting: number;
  readonly zeroBeforeCounts: number;
  /** Zero after unloading minus the zero before; null where none was read. */
  readonly zeroShiftCounts: number | null;
  readonly increasing: readonly Deflection[];
  /** Rising torque too, so that it stands beside the increasing ones. */
  readonly decreasing: readonly Deflection[];
}

export interface StepFigures {
  readonly level: number;
  readonly arm: PlannedReading['arm'];
  readonly torqueNm: number;
  readonly meanDeflectionCounts: number;
  /** In percent of the deflection of the step; null where the series do not tell. */
  readonly repeatabilityPercent: number | null;
  readonly reproducibilityPercent: number | null;
  readonly reproducibilitySdPercent: number | null;
  readonly reversibilityPercent: number | null;
}

interface Read {
  readonly planned: PlannedReading;
  readonly taken: TakenReading;
}

/**
 * The series of one sense, in order. Each begins with its zero; what was read without one is left out.
 */
export function collectSeries(
  readings: readonly PlannedReading[],
  taken: readonly TakenReading[],
  sense: Direction,
): Series[] {
  const reads = readsOf(readings, taken).filter(
    ({ planned }) => planned.sense === sense && planned.series > 0,
  );
  const zeros = reads.filter(({ planned }) => planned.stage === 'zeroBefore');
  return zeros.map(({ planned: { series, mounting }, taken: { meanCounts } }, position) => {
    const end = zeros[position + 1]?.planned.series ?? Number.POSITIVE_INFINITY;
    const own = reads.filter(({ planned }) => planned.series >= series && planned.series < end);
    const deflections = (stage: ReadingStage): Deflection[] =>
      own
        .filter(({ planned }) => planned.stage === stage)
        .map(({ planned, taken: reading }) => ({
          index: planned.index,
          level: planned.level,
          arm: planned.arm,
          torqueNm: signedTorqueNm(planned),
          counts: reading.meanCounts - meanCounts,
        }))
        .sort((one, other) => one.level - other.level);
    const zeroAfter = own.find(({ planned }) => planned.stage === 'zeroAfter');
    return {
      sense,
      mounting,
      zeroBeforeCounts: meanCounts,
      zeroShiftCounts: zeroAfter === undefined ? null : zeroAfter.taken.meanCounts - meanCounts,
      increasing: deflections('increasing'),
      decreasing: deflections('decreasing'),
    };
  });
}

/**
 * The increasing series that the curve is fitted to: with several mountings the first of each, so that every mounting
 * counts once; with one mounting, or where every mounting has torques of its own, all.
 */
export function fittedSeries(series: readonly Series[]): Series[] {
  const withPoints = series.filter(({ increasing }) => increasing.length > 0);
  const arms = new Set(withPoints.map(({ increasing }) => increasing[0]?.arm));
  const mountings = new Set(withPoints.map(({ mounting }) => mounting));
  if (mountings.size < 2 || arms.size > 1) return withPoints;
  return [...mountings].flatMap(
    (mounting) => withPoints.find((candidate) => candidate.mounting === mounting) ?? [],
  );
}

/**
 * Figures of each step.
 *
 * Repeatability: greatest minus least of the increasing series of one mounting, over their mean; the largest of the
 * mountings. Reproducibility: over the first increasing series of each mounting, as span (BS 7882 and DIN 51309, from memory)
 * and as sample standard deviation (EURAMET cg-14, from memory), over their mean. Reversibility: mean over the mountings of
 * |decreasing - increasing| over the mean of the increasing ones. All from memory; checked against a set of readings made up
 * for the purpose (tests/fixtures/reference-values/torque-class.json).
 */
export function stepFigures(series: readonly Series[]): StepFigures[] {
  const fitted = fittedSeries(series);
  return stepsOf(fitted).map(({ level, arm, torqueNm }) => {
    const at = ({ increasing }: Series): number[] =>
      increasing.filter((point) => point.level === level && point.arm === arm).map(({ counts }) => counts);
    const means = fitted.flatMap(at);
    const meanDeflectionCounts = mean(means);
    const scale = 100 / Math.abs(meanDeflectionCounts);
    const byMounting = [...Map.groupBy(series, ({ mounting }) => mounting).values()];
    const repeats = byMounting.map((ofMounting) => ofMounting.flatMap(at)).filter(({ length }) => length > 1);
    const mounted = byMounting.flatMap((ofMounting) => ofMounting.flatMap(at).slice(0, 1));
    const reversals = series.flatMap(({ increasing, decreasing }) => {
      const up = increasing.find((point) => point.level === level && point.arm === arm);
      // The top is read once for both.
      const isTop = increasing.at(-1) === up && decreasing.length > 0;
      const down = isTop ? up : decreasing.find((point) => point.level === level && point.arm === arm);
      return up && down ? [Math.abs(down.counts - up.counts)] : [];
    });
    return {
      level,
      arm,
      torqueNm,
      meanDeflectionCounts,
      repeatabilityPercent:
        repeats.length === 0
          ? null
          : Math.max(...repeats.map((counts) => (100 * span(counts)) / Math.abs(mean(counts)))),
      reproducibilityPercent: mounted.length < 2 ? null : scale * span(mounted),
      reproducibilitySdPercent: mounted.length < 2 ? null : scale * standardDeviation(mounted),
      reversibilityPercent: reversals.length === 0 ? null : scale * mean(reversals),
    };
  });
}

/** Largest zero after unloading, in percent of the greatest deflection; null where none was read. */
export function zeroReturnPercent(series: readonly Series[]): number | null {
  const shifts = series.flatMap(({ zeroShiftCounts }) => (zeroShiftCounts === null ? [] : [zeroShiftCounts]));
  const greatest = greatestDeflectionCounts(series);
  if (shifts.length === 0 || greatest === 0) return null;
  return (100 * Math.max(...shifts.map(Math.abs))) / greatest;
}

/** Mean deflection of the highest step; 0 where none was read. */
export function greatestDeflectionCounts(series: readonly Series[]): number {
  return Math.abs(stepFigures(series).at(-1)?.meanDeflectionCounts ?? 0);
}

/** Change of the reading under the top load from 30 s to 300 s, in percent of its deflection. */
export function creepPercent(
  readings: readonly PlannedReading[],
  taken: readonly TakenReading[],
  series: readonly Series[],
): number | null {
  const sense = series[0]?.sense;
  const at = (stage: ReadingStage): number | undefined =>
    readsOf(readings, taken).find(({ planned }) => planned.sense === sense && planned.stage === stage)?.taken
      .meanCounts;
  const [early, late, top] = [at('creep30'), at('creep300'), greatestDeflectionCounts(series)];
  return early === undefined || late === undefined || top === 0 ? null : (100 * Math.abs(late - early)) / top;
}

/** Greatest minus least of the readings with the load shifted to either side, in percent of the top deflection. */
export function bendingPercent(
  readings: readonly PlannedReading[],
  taken: readonly TakenReading[],
  series: readonly Series[],
): number | null {
  const sense = series[0]?.sense;
  const counts = readsOf(readings, taken)
    .filter(({ planned }) => planned.sense === sense && planned.stage === 'bending')
    .map(({ taken: reading }) => reading.meanCounts);
  const top = greatestDeflectionCounts(series);
  return counts.length < 2 || top === 0 ? null : (100 * span(counts)) / top;
}

/** The distinct steps, rising torque. */
function stepsOf(series: readonly Series[]): Pick<Deflection, 'level' | 'arm' | 'torqueNm'>[] {
  const steps = new Map<string, Deflection>();
  for (const { increasing } of series) {
    for (const point of increasing) {
      const key = `${point.arm} ${point.level}`;
      if (!steps.has(key)) steps.set(key, point);
    }
  }
  return [...steps.values()].sort((one, other) => Math.abs(one.torqueNm) - Math.abs(other.torqueNm));
}

function readsOf(readings: readonly PlannedReading[], taken: readonly TakenReading[]): Read[] {
  const byIndex = new Map(taken.map((reading) => [reading.index, reading]));
  return readings.flatMap((planned) => {
    const reading = byIndex.get(planned.index);
    return reading === undefined ? [] : [{ planned, taken: reading }];
  });
}

export const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

const span = (values: readonly number[]): number => Math.max(...values) - Math.min(...values);

/** Of a sample, about its own mean, in two passes: one pass loses its digits where values are large beside their spread. */
export function standardDeviation(values: readonly number[]): number {
  const centre = mean(values);
  return Math.sqrt(values.reduce((sum, value) => sum + (value - centre) ** 2, 0) / (values.length - 1));
}
