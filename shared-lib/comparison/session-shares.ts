import type { Observation } from './observations.ts';

/** Which share of a contender's trials lies in each session. */
export type SessionShares = ReadonlyMap<string, number>;

export function sessionShares(own: readonly Observation[]): SessionShares {
  const shares = new Map<string, number>();
  for (const { sessionId } of own) shares.set(sessionId, (shares.get(sessionId) ?? 0) + 1 / own.length);
  return shares;
}

/**
 * Sum over the sessions of (share of A's trials - share of B's)^2, by which the variance from day to day enters their difference:
 * 0 in one common session, 2 in two different ones.
 */
export function dayShare(a: SessionShares, b: SessionShares): number {
  let sum = 0;
  for (const [sessionId, share] of a) sum += (share - (b.get(sessionId) ?? 0)) ** 2;
  for (const [sessionId, share] of b) if (!a.has(sessionId)) sum += share ** 2;
  return sum > ROUNDING ? sum : 0;
}

const ROUNDING = 1e-12;
