import type { Sensitivity } from '../../../shared-lib/standings/standings-model.ts';

/** The picture of how far a factor can go: from none to ten times of what it is, with what it is in the middle. */
export const MOST_TIMES = 10;

/** Below 1 in proportion, above it by the logarithm, so that halving and doubling take as much room. */
export function shareOfScale(times: number): number {
  const within = Math.min(Math.max(times, 0), MOST_TIMES);
  return within <= 1 ? within / 2 : 0.5 + Math.log10(within) / 2;
}

export const scaleTicks = [0, 0.5, 1, 2, 5, 10] as const;

export interface FactorBar {
  /** Times of what the factor is now. */
  readonly from: number;
  readonly to: number;
  /** Nothing changes up to the end of the scale. */
  readonly isOpenBelow: boolean;
  readonly isOpenAbove: boolean;
}

type Term = Sensitivity['terms'][number];

/** Null: a factor of zero has no times of itself. */
export function factorBar(factor: number, from: number | null, to: number | null): FactorBar | null {
  if (factor === 0) return null;
  const [below, above] = [from, to].map((bound) => (bound === null ? null : bound / factor));
  return {
    from: below ?? 0,
    to: above ?? MOST_TIMES,
    isOpenBelow: below == null,
    isOpenAbove: above == null,
  };
}

export function barsOf({ factor, orderKeptFrom, orderKeptTo, leaderKeptFrom, leaderKeptTo }: Term) {
  return {
    order: factorBar(factor, orderKeptFrom, orderKeptTo),
    leader: factorBar(factor, leaderKeptFrom, leaderKeptTo),
  };
}

/** How far the order is from changing by this factor; terms are shown with the touchiest first. */
export function roomOf(term: Term): number {
  const { order } = barsOf(term);
  if (order === null) return Number.POSITIVE_INFINITY;
  const below = order.isOpenBelow ? Number.POSITIVE_INFINITY : 0.5 - shareOfScale(order.from);
  const above = order.isOpenAbove ? Number.POSITIVE_INFINITY : shareOfScale(order.to) - 0.5;
  return Math.min(below, above);
}
