import type { HandlingRating } from './catalogue-model.ts';
import { foldName } from './fold-name.ts';

/** The last of each rater, by the name of the rater; `ratings` with the newest last. */
export function newestOfEachRater(ratings: readonly HandlingRating[]): HandlingRating[] {
  return [...new Map(ratings.map((rating) => [foldName(rating.rater), rating])).entries()]
    .toSorted(([a], [b]) => (a < b ? -1 : 1))
    .map(([, rating]) => rating);
}

/** By tool, all that were merged into it, directly or by way of others. `merges`: the tool and the one it counts to. */
export function takenInBy(merges: ReadonlyMap<string, string>): ReadonlyMap<string, readonly string[]> {
  const takenIn = new Map<string, string[]>();
  for (const from of merges.keys()) {
    const seen = new Set([from]);
    for (let into = merges.get(from); into !== undefined && !seen.has(into); into = merges.get(into)) {
      takenIn.set(into, [...(takenIn.get(into) ?? []), from]);
      seen.add(into);
    }
  }
  return takenIn;
}
