import type { Distributions } from '../calibration/distributions.ts';
import type { Scatter } from './comparison-model.ts';
import { groupBy, roundKey, type Observation } from './observations.ts';
import { meanOf, sumOf } from './sums.ts';

export interface CompleteRounds {
  /** Mean of ln(measure) of each contender in each round, in the same order of rounds. */
  readonly byContender: ReadonlyMap<string, readonly number[]>;
  /** Trials of the contenders that lie in these rounds. */
  readonly used: readonly Observation[];
  readonly roundCount: number;
}

/**
 * The rounds in which all the `needed` have a value, at least two; and the others that have one in each of those. Repeats
 * within a round are one mean: they share what the round had. Null where there are not two.
 */
export function findCompleteRounds(
  observations: readonly Observation[],
  needed: readonly string[],
): CompleteRounds | null {
  const inRounds = groupBy(observations, (observation) => roundKey(observation) ?? '');
  inRounds.delete('');
  const complete = [...inRounds.values()].filter((round) =>
    needed.every((key) => round.some((observation) => observation.key === key)),
  );
  if (complete.length < 2) return null;
  const keys = new Set(complete.flat().map(({ key }) => key));
  const everywhere = [...keys].filter((key) =>
    complete.every((round) => round.some((observation) => observation.key === key)),
  );
  const byContender = new Map(
    everywhere.map((key) => [
      key,
      complete.map((round) =>
        meanOf(round.filter((observation) => observation.key === key).map(({ ln }) => ln)),
      ),
    ]),
  );
  return {
    byContender,
    used: complete.flat().filter(({ key }) => byContender.has(key)),
    roundCount: complete.length,
  };
}

export interface TwoWayResidual {
  readonly variance: number;
  readonly degreesOfFreedom: number;
  readonly roundEffect: NonNullable<Scatter['roundEffect']>;
}

const CLEAR = 0.05;

/**
 * Mean square of what is left when each contender's and each round's own level are taken out; (K - 1)(R - 1) degrees of
 * freedom. `rows`: of each contender its value in each round. Null where nothing is left but rounding.
 */
export function twoWayResidual(
  rows: readonly (readonly number[])[],
  distributions: Pick<Distributions, 'fUpperTail'>,
): TwoWayResidual | null {
  const roundCount = rows[0]?.length ?? 0;
  const degreesOfFreedom = (rows.length - 1) * (roundCount - 1);
  if (!(degreesOfFreedom >= 1)) return null;
  const centred = rows.map((row) => {
    const mean = meanOf(row);
    return row.map((value) => value - mean);
  });
  const roundMeans = Array.from({ length: roundCount }, (_, round) =>
    meanOf(centred.map((row) => row[round] ?? Number.NaN)),
  );
  const squares = sumOf(
    centred.flatMap((row) => row.map((value, round) => (value - (roundMeans[round] ?? Number.NaN)) ** 2)),
  );
  const variance = squares / degreesOfFreedom;
  if (!isScatter(Math.sqrt(variance))) return null;
  const roundVariance = (rows.length * sumOf(roundMeans.map((mean) => mean ** 2))) / (roundCount - 1);
  const f = roundVariance / variance;
  const p = distributions.fUpperTail(f, roundCount - 1, degreesOfFreedom);
  return {
    variance,
    degreesOfFreedom,
    roundEffect: {
      standardDeviation: Math.sqrt(Math.max(0, (roundVariance - variance) / rows.length)),
      f,
      p,
      isClear: p < CLEAR,
    },
  };
}

/** Less than a billionth is what rounding leaves of values that are all alike: it says nothing of scatter. */
export function isScatter(standardDeviationLn: number): boolean {
  return standardDeviationLn > 1e-9;
}
