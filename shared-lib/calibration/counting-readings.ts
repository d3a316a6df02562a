import type { TakenReading } from './run-model.ts';

/** Of the readings of a run in the order in which they were taken, those that count: of each index the newest that was not withdrawn. */
export function countingReadings(
  all: readonly TakenReading[],
  withdrawnIds: ReadonlySet<number | null>,
): TakenReading[] {
  const standing = new Map<number, TakenReading>();
  for (const taken of all) if (!withdrawnIds.has(taken.id)) standing.set(taken.index, taken);
  return [...standing.values()].sort((one, other) => one.index - other.index);
}
