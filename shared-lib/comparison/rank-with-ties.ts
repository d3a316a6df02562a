/**
 * Places by the standard competition rule: equal values share the best place, and those after them stand as if it were not
 * shared (1, 2, 2, 4). In the order of the values.
 */
export function competitionPlaces(values: readonly number[], better: 'more' | 'less'): number[] {
  const sorted = values.toSorted((one, other) => (better === 'more' ? other - one : one - other));
  const places = new Map<number, number>();
  for (const [index, value] of sorted.entries()) if (!places.has(value)) places.set(value, index + 1);
  return values.map((value) => {
    const place = places.get(value);
    if (place === undefined) throw new RangeError(`There is no place for the value ${value}.`);
    return place;
  });
}
