import type { Distributions } from '../calibration/distributions.ts';
import { formatNumber, THIN_SPACE } from '../format-quantity.ts';
import { totalVariance, type VariancePart } from './combine-variances.ts';
import type { ComparedTrial, Scatter } from './comparison-model.ts';
import {
  findCompleteRounds,
  isScatter,
  twoWayResidual,
  type CompleteRounds,
  type TwoWayResidual,
} from './complete-rounds.ts';
import { observe, ownTrials, type Observation } from './observations.ts';
import { meanOf } from './sums.ts';
import { findWide, poolOf, scatterWithinSessions, type OwnScatter } from './within-sessions.ts';

/** From so many degrees of freedom on, what all setups have in common is worth more than each one's own few runs. */
const ENOUGH_TO_POOL = 8;

/** Two contenders' means of ln(measure), and by what they are known. */
export interface ScatterOfTwo {
  readonly scatter: Scatter;
  /** Those of either that the difference is taken from: all, or those in complete rounds. */
  readonly used: readonly Observation[];
  readonly meanA: number;
  readonly meanB: number;
  /** Of the squared standard error of the difference, without what days add; empty where there is no scatter. */
  readonly parts: readonly VariancePart[];
  /** Whether either has no scatter of its own, so that the others' is taken for it. */
  readonly isBorrowed: boolean;
}

/**
 * The scatter of a comparison of `a` with `b` within sessions, the first that applies: (1) the two-way residual of complete
 * rounds; (2) pooled over all setups, with at least eight degrees of freedom; (3) each its own (Welch). Who scatters clearly
 * more than the others is always compared by (3), and lends its scatter to nobody. Where a side has a single run, the pooled
 * scatter is taken however little it is known.
 *
 * `observations`: of both and of the other setups of the same step and bench. Both sides need at least one.
 */
export function estimateScatter(
  observations: readonly Observation[],
  a: string,
  b: string,
  distributions: Pick<Distributions, 'fUpperTail'>,
): ScatterOfTwo {
  const own = scatterWithinSessions(observations);
  const wide = findWide(own, distributions);
  const isEitherWide = wide.has(a) || wide.has(b);
  const even = observations.filter(({ key }) => key === a || key === b || !wide.has(key));
  const inRounds = isEitherWide ? null : byRounds(even, a, b, distributions);
  if (inRounds !== null) return inRounds;

  const used = observations.filter(({ key }) => key === a || key === b);
  const ofA = used.filter(({ key }) => key === a).map(({ ln }) => ln);
  const ofB = used.filter(({ key }) => key === b).map(({ ln }) => ln);
  const lent = own.filter(({ key, degreesOfFreedom }) => degreesOfFreedom > 0 && !wide.has(key));
  const pool = poolOf(lent);
  const variances = [a, b].map((key) => own.find((one) => one.key === key) ?? { key, ...NO_SCATTER });
  const isBorrowed = variances.some(({ degreesOfFreedom }) => degreesOfFreedom === 0);
  const result = { used, meanA: meanOf(ofA), meanB: meanOf(ofB), isBorrowed };
  const isPooled =
    !isEitherWide && (pool.degreesOfFreedom >= ENOUGH_TO_POOL || (isBorrowed && pool.degreesOfFreedom > 0));
  const parts = variances.map((one, index) => {
    const { squares, degreesOfFreedom } = isPooled || one.degreesOfFreedom === 0 ? pool : one;
    return { variance: squares / degreesOfFreedom / (index === 0 ? ofA : ofB).length, degreesOfFreedom };
  });
  if (!parts.some(({ variance }) => isScatter(Math.sqrt(variance)))) {
    return { ...result, scatter: noScatter(), parts: [], isBorrowed: false };
  }
  if (!isPooled) return { ...result, scatter: eachItsOwn(variances, isEitherWide), parts };
  const { degreesOfFreedom } = pool;
  const standardDeviation = Math.sqrt(pool.squares / degreesOfFreedom);
  return {
    ...result,
    scatter: {
      way: 'pooled',
      standardDeviation,
      degreesOfFreedom,
      contenderCount: lent.length,
      roundEffect: null,
      sentence: pooledSentence(standardDeviation ** 2, degreesOfFreedom, lent.length),
    },
    // Known together, not each by itself.
    parts: [{ variance: totalVariance(parts), degreesOfFreedom }],
  };
}

const NO_SCATTER = { squares: 0, degreesOfFreedom: 0 };

function eachItsOwn(sides: readonly OwnScatter[], isEitherWide: boolean): Scatter {
  const own = sides.map(({ squares, degreesOfFreedom }) =>
    degreesOfFreedom === 0 ? 'that of the other setups' : percent(Math.sqrt(squares / degreesOfFreedom)),
  );
  return {
    way: 'welch',
    standardDeviation: null,
    degreesOfFreedom: null,
    contenderCount: sides.filter(({ degreesOfFreedom }) => degreesOfFreedom > 0).length,
    roundEffect: null,
    sentence: `Each is taken with its own scatter from run to run, ${own.join(' and ')}${isEitherWide ? ', since one scatters clearly more than the other setups' : ', since there are too few runs to take them together'}.`,
  };
}

function byRounds(
  observations: readonly Observation[],
  a: string,
  b: string,
  distributions: Pick<Distributions, 'fUpperTail'>,
): ScatterOfTwo | null {
  const rounds = findCompleteRounds(observations, [a, b]);
  if (rounds === null) return null;
  const rows = [...rounds.byContender.values()];
  const residual = twoWayResidual(rows, distributions);
  if (residual === null) return null;
  const { variance, degreesOfFreedom, roundEffect } = residual;
  const standardDeviation = Math.sqrt(variance);
  const used = rounds.used.filter(({ key }) => key === a || key === b);
  return {
    scatter: {
      way: 'rounds',
      standardDeviation,
      degreesOfFreedom,
      contenderCount: rows.length,
      roundEffect,
      sentence: roundsSentence(residual, rounds, used.length > 2 * rounds.roundCount),
    },
    used,
    meanA: meanOf(rounds.byContender.get(a) ?? []),
    meanB: meanOf(rounds.byContender.get(b) ?? []),
    parts: [{ variance: (2 * variance) / rounds.roundCount, degreesOfFreedom }],
    isBorrowed: false,
  };
}

export function pooledSentence(variance: number, degreesOfFreedom: number, contenderCount: number): string {
  return `Runs of one setup scatter by ${percent(Math.sqrt(variance))} within a session, from the runs of ${setups(contenderCount)} (${degrees(degreesOfFreedom)}).`;
}

export function roundsSentence(
  { variance, degreesOfFreedom, roundEffect }: TwoWayResidual,
  { roundCount, byContender }: CompleteRounds,
  hasRepeats: boolean,
): string {
  return `${hasRepeats ? 'Means of a round' : 'Runs of one setup'} scatter by ${percent(Math.sqrt(variance))} beside what their round has in common, from ${roundCount} complete rounds of ${setups(byContender.size)} (${degrees(degreesOfFreedom)}). ${roundSentence(roundEffect)}`;
}

function roundSentence({ standardDeviation, f, p, isClear }: NonNullable<Scatter['roundEffect']>): string {
  const test = `F = ${formatNumber(f, 2)}, p = ${formatNumber(p, 3)}`;
  return isClear
    ? `The rounds themselves differ, by ${percent(standardDeviation)} (${test}): something moved all setups from round to round. It does not touch the comparison, since all stand in each round.`
    : `The rounds do not differ by more than chance makes likely (${test}).`;
}

export function noScatter(): Scatter {
  return {
    way: 'none',
    standardDeviation: null,
    degreesOfFreedom: null,
    contenderCount: 0,
    roundEffect: null,
    sentence: 'Nothing is known of how runs scatter: no setup has two runs in a session that differ.',
  };
}

/** The scatter within sessions of all setups but those that scatter clearly more; null where none has two runs in one. */
export function pooledScatter(
  trials: readonly ComparedTrial[],
  distributions: Pick<Distributions, 'fUpperTail'>,
): { standardDeviation: number; degreesOfFreedom: number } | null {
  const own = scatterWithinSessions(observe(ownTrials(trials)));
  const wide = findWide(own, distributions);
  const { squares, degreesOfFreedom } = poolOf(own.filter(({ key }) => !wide.has(key)));
  const standardDeviation = Math.sqrt(squares / degreesOfFreedom);
  return isScatter(standardDeviation) ? { standardDeviation, degreesOfFreedom } : null;
}

function percent(ln: number): string {
  return `${formatNumber(100 * ln, 2)}${THIN_SPACE}%`;
}

function setups(count: number): string {
  return count === 1 ? 'one setup' : `${count} setups`;
}

function degrees(count: number): string {
  return count === 1 ? 'one degree of freedom' : `${count} degrees of freedom`;
}
