import type { Distributions } from '../calibration/distributions.ts';
import { groupBy, type Observation } from './observations.ts';
import { squaresAboutMean, sumOf } from './sums.ts';

/** Squares about the mean of each session, so that no day-to-day scatter is in them. */
export interface OwnScatter {
  readonly key: string;
  readonly squares: number;
  readonly degreesOfFreedom: number;
}

/** Scatter of each contender within its sessions; one with a single trial in each has no degrees of freedom. */
export function scatterWithinSessions(observations: readonly Observation[]): OwnScatter[] {
  return [...groupBy(observations, ({ key }) => key)].map(([key, own]) => {
    const sessions = [...groupBy(own, ({ sessionId }) => sessionId).values()];
    return {
      key,
      squares: sumOf(sessions.map((session) => squaresAboutMean(session.map(({ ln }) => ln)))),
      degreesOfFreedom: own.length - sessions.length,
    };
  });
}

const CLEARLY_MORE = 0.01;

/**
 * Keys of those who scatter clearly more than all others together: s_i^2 / s_others^2 > F_0.99. `askedAtOnce`: where so many are
 * looked at for one answer, each has to stand out so much more that one of them does by chance in 1 % of cases.
 */
export function findWide(
  scatters: readonly OwnScatter[],
  distributions: Pick<Distributions, 'fUpperTail'>,
  askedAtOnce = 1,
): Set<string> {
  const all = poolOf(scatters);
  return new Set(
    scatters.flatMap(({ key, squares, degreesOfFreedom }) => {
      const othersDf = all.degreesOfFreedom - degreesOfFreedom;
      const othersSquares = all.squares - squares;
      if (degreesOfFreedom === 0 || othersDf === 0 || !(othersSquares > 0)) return [];
      const f = squares / degreesOfFreedom / (othersSquares / othersDf);
      return distributions.fUpperTail(f, degreesOfFreedom, othersDf) < CLEARLY_MORE / askedAtOnce
        ? [key]
        : [];
    }),
  );
}

export function poolOf(scatters: readonly OwnScatter[]): Omit<OwnScatter, 'key'> {
  return {
    squares: sumOf(scatters.map(({ squares }) => squares)),
    degreesOfFreedom: sumOf(scatters.map(({ degreesOfFreedom }) => degreesOfFreedom)),
  };
}
