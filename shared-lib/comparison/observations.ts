import type { ComparedTrial } from './comparison-model.ts';

/** A trial that takes part with a value: its logarithm, since tools differ by factors rather than by amounts. */
export interface Observation {
  readonly trialId: string;
  readonly key: string;
  readonly sessionId: string;
  /** Of its run sheet; null: outside of its rounds. */
  readonly round: number | null;
  readonly startedAt: string;
  readonly ln: number;
}

/** Whether a trial takes part at all, with a value or without. */
export function takesPart({ leftOutBecause }: Pick<ComparedTrial, 'leftOutBecause'>): boolean {
  return leftOutBecause === null;
}

/**
 * The trials of each contender that its figures are taken from, whether they have a value or not. Of a reference tool that
 * was pulled as a setup too, those as a setup; else its reference pulls.
 */
export function ownTrials<
  Trial extends Pick<ComparedTrial, 'contenderKey' | 'isReference' | 'leftOutBecause'>,
>(trials: readonly Trial[]): Trial[] {
  const counting = trials.filter(takesPart);
  const pulledAsSetup = new Set(
    counting.filter(({ isReference }) => !isReference).map(({ contenderKey }) => contenderKey),
  );
  return counting.filter(({ isReference, contenderKey }) => !isReference || !pulledAsSetup.has(contenderKey));
}

export function hasLogarithm(value: number | null): value is number {
  return value !== null && value > 0 && Number.isFinite(value);
}

/** Those with a value above zero; the others have no logarithm, and whoever shows a result counts them. */
export function observe(trials: readonly ComparedTrial[]): Observation[] {
  return trials.flatMap(({ trialId, contenderKey, sessionId, round, startedAt, value }) =>
    hasLogarithm(value)
      ? [
          {
            trialId,
            key: contenderKey,
            sessionId,
            round: round === 0 ? null : round,
            startedAt,
            ln: Math.log(value),
          },
        ]
      : [],
  );
}

export function groupBy<Item>(items: readonly Item[], keyOf: (item: Item) => string): Map<string, Item[]> {
  const groups = new Map<string, Item[]>();
  for (const item of items) {
    const key = keyOf(item);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [item]);
    else group.push(item);
  }
  return groups;
}

/** Rounds of several sessions are told apart. */
export function roundKey({ sessionId, round }: Observation): string | null {
  return round === null ? null : JSON.stringify([sessionId, round]);
}
