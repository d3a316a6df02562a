import type { ComparedTrial, Comparison } from '../comparison-model.ts';

/** Whose a run is, as far as the picture tells them apart. */
export type RunOwner = 'a' | 'b' | 'reference' | 'other';

export interface RunPoint {
  readonly trial: ComparedTrial;
  readonly owner: RunOwner;
  /** Its place in time, from 1. */
  readonly place: number;
  readonly isLeftOut: boolean;
}

/** A reference pull watches the day and does not count for its tool, even where that is A or B. */
export function ownerOf(trial: ComparedTrial, { a, b }: Pick<Comparison, 'a' | 'b'>): RunOwner {
  if (trial.isReference) return 'reference';
  if (trial.contenderKey === a.contender.key) return 'a';
  return trial.contenderKey === b.contender.key ? 'b' : 'other';
}

/**
 * What stands in the run plot, in the order in which it was pulled: all of A and B, left out or not, and the reference tool. The
 * other setups' runs come in only where they are asked for.
 */
export function runPoints(
  comparison: Pick<Comparison, 'a' | 'b' | 'trials'>,
  hasOthers: boolean,
): RunPoint[] {
  return comparison.trials
    .map((trial) => ({ trial, owner: ownerOf(trial, comparison), isLeftOut: trial.leftOutBecause !== null }))
    .filter(({ owner }) => hasOthers || owner !== 'other')
    .sort((p, q) => p.trial.startedAt.localeCompare(q.trial.startedAt))
    .map((point, index) => ({ ...point, place: index + 1 }));
}

/** After which places another session begins. */
export function sessionBreaks(points: readonly RunPoint[]): number[] {
  return points.flatMap(({ trial, place }, index) => {
    const next = points[index + 1];
    return next !== undefined && next.trial.sessionId !== trial.sessionId ? [place] : [];
  });
}

/** How many of A and B were left out, by their reasons, the commonest first. */
export function leftOutReasons(
  points: readonly RunPoint[],
): { readonly reason: string; readonly count: number }[] {
  const counts = new Map<string, number>();
  for (const { trial, owner } of points) {
    const reason = trial.leftOutBecause;
    if (reason === null || owner === 'other') continue;
    counts.set(reason, (counts.get(reason) ?? 0) + 1);
  }
  return [...counts].map(([reason, count]) => ({ reason, count })).sort((p, q) => q.count - p.count);
}
