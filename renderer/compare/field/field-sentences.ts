import type { FieldPlace } from '../../../shared-lib/comparison/comparison-model.ts';

/** "2", or "1 to 3" where others may change places with it; a dash where too little is known. */
export function placeRangeWords({
  bestPlace,
  worstPlace,
}: Pick<FieldPlace, 'bestPlace' | 'worstPlace'>): string {
  if (bestPlace === null || worstPlace === null) return 'not known';
  return bestPlace === worstPlace ? String(bestPlace) : `${bestPlace} to ${worstPlace}`;
}

/** Whom a contender is not told apart from; names of those that stand in the same table. */
export function notSeparatedWords(place: FieldPlace, places: readonly FieldPlace[]): string {
  const labels = place.notSeparatedFrom.flatMap((key) => {
    const found = places.find(({ contender }) => contender.key === key)?.contender;
    if (found === undefined) return [];
    // The whole setup only where its tool stands there with another.
    const ofTool = places.filter(({ contender }) => contender.toolName === found.toolName);
    return ofTool.length === 1 ? found.toolName : found.label;
  });
  if (labels.length === 0) return place.bestPlace === null ? 'not known' : 'nobody';
  return labels.join('; ');
}
