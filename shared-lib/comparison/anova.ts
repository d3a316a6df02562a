import type { Distributions } from '../calibration/distributions.ts';
import { meanOf, squaresAboutMean, sumOf } from './sums.ts';

export interface OneWayAnova {
  readonly betweenSquares: number;
  readonly betweenDf: number;
  readonly withinSquares: number;
  readonly withinDf: number;
  readonly f: number;
  readonly p: number;
  readonly rSquared: number;
  readonly residualStandardDeviation: number;
}

/** Analysis of variance of groups of values. Errors: RangeError without two groups, or without a group that repeats. */
export function oneWayAnova(
  groups: readonly (readonly number[])[],
  distributions: Pick<Distributions, 'fUpperTail'>,
): OneWayAnova {
  const withinDf = sumOf(groups.map((group) => group.length - 1));
  const betweenDf = groups.length - 1;
  if (betweenDf < 1 || withinDf < 1 || groups.some(({ length }) => length === 0)) {
    throw new RangeError('An analysis of variance takes two groups, one of them with two values.');
  }
  // About a value of their own, so that figures with a long common beginning keep their digits.
  const origin = groups[0]?.[0] ?? 0;
  const shifted = groups.map((group) => group.map((value) => value - origin));
  const grandMean = meanOf(shifted.flat());
  const betweenSquares = sumOf(shifted.map((group) => group.length * (meanOf(group) - grandMean) ** 2));
  const withinSquares = sumOf(shifted.map(squaresAboutMean));
  const f = betweenSquares / betweenDf / (withinSquares / withinDf);
  return {
    betweenSquares,
    betweenDf,
    withinSquares,
    withinDf,
    f,
    p: distributions.fUpperTail(f, betweenDf, withinDf),
    rSquared: betweenSquares / (betweenSquares + withinSquares),
    residualStandardDeviation: Math.sqrt(withinSquares / withinDf),
  };
}
