import { compareTwo } from '../../../../shared-lib/comparison/compare-two.ts';
import type { ComparedTrial } from '../../../../shared-lib/comparison/comparison-model.ts';
import type { TwoInput, TwoResult } from '../../../../shared-lib/comparison/two-model.ts';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import { formatTorqueInBothUnits } from '../../../../shared-lib/format-quantity.ts';

const FIRST_PULL_AT = Date.UTC(2026, 2, 2, 9);

const DAY_MS = 86_400_000;

/** Each by its name, a letter and a number, has a day of its own. */
function dayOfSession(sessionId: string): number {
  return 20 * (sessionId.charCodeAt(0) - 'a'.charCodeAt(0)) + Number(sessionId.slice(1));
}

/** A trial of `a` in the first round of session s1; `order`: its place among the pulls of the bench. */
export function madeTrial(order: number, change: Partial<ComparedTrial> = {}): ComparedTrial {
  const sessionId = change.sessionId ?? 's1';
  return {
    trialId: `trial ${String(order)}`,
    contenderKey: 'setup:a',
    sessionId,
    startedAt: new Date(FIRST_PULL_AT + DAY_MS * dayOfSession(sessionId) + 90_000 * order).toISOString(),
    round: 1,
    isReference: false,
    value: 500,
    leftOutBecause: null,
    ...change,
  };
}

/** Rounds of several setups, in an order that turns round: values of each setup, round by round; null: no value. */
export function madeRounds(
  valuesOf: Readonly<Record<string, readonly (number | null)[]>>,
  { sessionId = 's1', from = 0 } = {},
): ComparedTrial[] {
  const keys = Object.keys(valuesOf);
  const roundCount = Math.max(...Object.values(valuesOf).map(({ length }) => length));
  return Array.from({ length: roundCount }, (_, round) => {
    const inOrder = round % 2 === 0 ? keys : keys.toReversed();
    return inOrder.flatMap((key, place) => {
      const value = valuesOf[key]?.[round];
      if (value === undefined) return [];
      const order = from + round * keys.length + place;
      return [madeTrial(order, { contenderKey: `setup:${key}`, sessionId, round: round + 1, value })];
    });
  }).flat();
}

/** Pulls of one setup on end, outside of any round. */
export function madeBlock(
  key: string,
  values: readonly number[],
  { sessionId = 's1', from = 0 } = {},
): ComparedTrial[] {
  return values.map((value, index) =>
    madeTrial(from + index, { contenderKey: `setup:${key}`, sessionId, round: null, value }),
  );
}

export function comparing(trials: readonly ComparedTrial[], change: Partial<TwoInput> = {}): TwoInput {
  return {
    a: 'setup:a',
    b: 'setup:b',
    trials,
    better: 'more',
    marginPercent: 5,
    confidence: 0.95,
    plannedRounds: { a: 3, b: 3 },
    dayToDay: null,
    isLikeForLike: true,
    checkpoints: [],
    words: {
      a: 'Hollin H5',
      b: 'Tarnwick T6',
      what: 'sustained torque',
      format: (value) => formatTorqueInBothUnits(value, 0),
      formatDifference: (value) => formatTorqueInBothUnits(value, 1),
    },
    ...change,
  };
}

export function compared(trials: readonly ComparedTrial[], change: Partial<TwoInput> = {}): TwoResult {
  return compareTwo(comparing(trials, change), distributions);
}
