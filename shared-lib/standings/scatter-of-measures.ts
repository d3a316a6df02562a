import type { Distributions } from '../calibration/distributions.ts';
import type { ScoredInput } from './score-input.ts';
import type { TrialsOfMeasure } from './trials-of-measures.ts';

/** How much single pulls of one measure scatter, as standard deviation of ln(measure) within sessions. */
export interface MeasureScatter {
  /** Over all contenders but those in `own`; NaN: there is nothing to take it from. */
  readonly standardDeviation: number;
  readonly degreesOfFreedom: number;
  /** Contenders, by place in the field, that scatter so much more than the others that only their own scatter is theirs. */
  readonly own: ReadonlyMap<
    number,
    { readonly standardDeviation: number; readonly degreesOfFreedom: number }
  >;
}

/**
 * A contender whose variance exceeds that of the others with less than this probability has a scatter of its own (design 6).
 * Shared among all contenders, since all are looked at: with one in a hundred each, a table of equal ones would
 * lose somebody often, and the pooled scatter would come out too small for the rest.
 */
const STANDS_OUT = 0.01;
/** Below it the others say too little for anybody to stand out from. */
const LEAST_DEGREES_OF_OTHERS = 3;
/** Variances of ln(measure) below are what the logarithm leaves of equal values. */
const NO_VARIANCE = 1e-24;

/** What one contender pulled of one measure, by session. */
export type PullsOfContender = ReadonlyMap<
  string,
  readonly { readonly trialId: string; readonly ln: number }[]
>;

interface Squares {
  readonly sum: number;
  readonly degreesOfFreedom: number;
}

/** Of all contenders, by place in the field. */
export function pullsOfMeasure(
  { field, trialsOf }: Pick<ScoredInput, 'field' | 'trialsOf'>,
  measure: number,
): PullsOfContender[] {
  return field.subjects.map(({ contender }) => bySession(trialsOf(measure, contender.key)));
}

export function scatterOfMeasure(
  pulls: readonly PullsOfContender[],
  distributions: Distributions,
): MeasureScatter {
  const squares = pulls.map(squaresWithin);
  const all = addUp(squares);
  const level = STANDS_OUT / Math.max(1, squares.filter((one) => one.degreesOfFreedom > 0).length);
  const own = new Map<number, { standardDeviation: number; degreesOfFreedom: number }>();
  for (const [k, { sum, degreesOfFreedom }] of squares.entries()) {
    const others = { sum: all.sum - sum, degreesOfFreedom: all.degreesOfFreedom - degreesOfFreedom };
    if (degreesOfFreedom === 0 || others.degreesOfFreedom < LEAST_DEGREES_OF_OTHERS) continue;
    const variance = sum / degreesOfFreedom;
    const othersVariance = others.sum / others.degreesOfFreedom;
    if (variance <= NO_VARIANCE) continue;
    const f = othersVariance <= NO_VARIANCE ? Infinity : variance / othersVariance;
    if (distributions.fUpperTail(f, degreesOfFreedom, others.degreesOfFreedom) < level) {
      own.set(k, { standardDeviation: Math.sqrt(variance), degreesOfFreedom });
    }
  }
  const pooled = addUp(squares.filter((_squares, k) => !own.has(k)));
  const variance = pooled.degreesOfFreedom === 0 ? Number.NaN : pooled.sum / pooled.degreesOfFreedom;
  return {
    standardDeviation: variance <= NO_VARIANCE ? 0 : Math.sqrt(variance),
    degreesOfFreedom: pooled.degreesOfFreedom,
    own,
  };
}

/**
 * Correlation of measures within the pulls, from what each trial deviates from its contender's mean in its session:
 * sustained and final torque of one pull go up and down together, and a total that counts both scatters the more.
 * Row by row, 1 on the diagonal; 0 where no trials have both.
 */
export function correlationOfMeasures(measures: readonly (readonly PullsOfContender[])[]): number[][] {
  const deviations = measures.map((pulls) => {
    const ofTrial = new Map<string, number>();
    for (const sessions of pulls) {
      for (const session of sessions.values()) {
        const mean = meanOf(session.map(({ ln }) => ln));
        if (session.length > 1) for (const { trialId, ln } of session) ofTrial.set(trialId, ln - mean);
      }
    }
    return ofTrial;
  });
  return deviations.map((one, row) =>
    deviations.map((other, column) => {
      if (row === column) return 1;
      let [product, squaresOfOne, squaresOfOther] = [0, 0, 0];
      for (const [trialId, a] of one) {
        const b = other.get(trialId);
        if (b === undefined) continue;
        product += a * b;
        squaresOfOne += a * a;
        squaresOfOther += b * b;
      }
      const size = Math.sqrt(squaresOfOne * squaresOfOther);
      return size > NO_VARIANCE ? Math.max(-1, Math.min(1, product / size)) : 0;
    }),
  );
}

/**
 * The lower triangle L with L L' = matrix, row by row. A matrix that is none of correlations, since its entries rest on
 * different trials, loses the part that cannot be: what remains of a row is never below zero.
 */
export function lowerTriangle(matrix: readonly (readonly number[])[]): number[][] {
  const lower = matrix.map((row) => row.map(() => 0));
  for (const [i, row] of lower.entries()) {
    for (let j = 0; j <= i; j += 1) {
      const other = lower[j] ?? [];
      let rest = matrix[i]?.[j] ?? 0;
      for (let m = 0; m < j; m += 1) rest -= (row[m] ?? 0) * (other[m] ?? 0);
      const diagonal = other[j] ?? 0;
      if (i === j) row[j] = Math.sqrt(Math.max(0, rest));
      else row[j] = diagonal > 1e-9 ? rest / diagonal : 0;
    }
    // Each stays a standard normal draw, whatever was lost.
    const size = Math.hypot(...row);
    if (size > 0) for (let j = 0; j <= i; j += 1) row[j] = (row[j] ?? 0) / size;
  }
  return lower;
}

function squaresWithin(pulls: PullsOfContender): Squares {
  return addUp(
    [...pulls.values()].map((session) => {
      const mean = meanOf(session.map(({ ln }) => ln));
      return {
        sum: session.reduce((sum, { ln }) => sum + (ln - mean) ** 2, 0),
        degreesOfFreedom: session.length - 1,
      };
    }),
  );
}

/** In a fixed order, so that sums do not depend on how the trials came. */
function bySession({ counted }: TrialsOfMeasure): PullsOfContender {
  const sessions = new Map<string, { trialId: string; ln: number }[]>();
  const sorted = counted.toSorted((a, b) => (a.trial.trialId < b.trial.trialId ? -1 : 1));
  for (const { trial, ln } of sorted) {
    const session = sessions.get(trial.sessionId);
    if (session) session.push({ trialId: trial.trialId, ln });
    else sessions.set(trial.sessionId, [{ trialId: trial.trialId, ln }]);
  }
  return sessions;
}

function addUp(parts: readonly Squares[]): Squares {
  return parts.reduce(
    (sum, part) => ({
      sum: sum.sum + part.sum,
      degreesOfFreedom: sum.degreesOfFreedom + part.degreesOfFreedom,
    }),
    { sum: 0, degreesOfFreedom: 0 },
  );
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
