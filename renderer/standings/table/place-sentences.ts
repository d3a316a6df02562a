import type { PlaceRange, PlaceRanges, Standings } from '../../../shared-lib/standings/standings-model.ts';

/** Places with how far they are known, and who is not told apart from whom. */
const MOST_NAMED = 3;

/** "(1 to 4)"; empty while it is not known. */
export function rangeWords(range: PlaceRange | undefined): string {
  return range === undefined ? '' : `(${range.bestPlace} to ${range.worstPlace})`;
}

/** "not told apart from Tarnwick T6, Brindlow B4 and 2 more"; empty where it stands alone. */
export function neighbourWords(
  range: PlaceRange | undefined,
  labelOf: (key: string) => string,
  mostNamed = MOST_NAMED,
): string {
  if (range === undefined || range.notSeparatedFrom.length === 0) return '';
  const names = range.notSeparatedFrom.map(labelOf);
  const named = names.length <= mostNamed + 1 ? names : names.slice(0, mostNamed);
  const others = names.length - named.length;
  return `not told apart from ${listWords(others === 0 ? named : [...named, `${others} more`])}`;
}

/** "A", "A and B", "A, B and C". */
export function listWords(names: readonly string[]): string {
  const last = names.at(-1) ?? '';
  return names.length < 2 ? last : `${names.slice(0, -1).join(', ')} and ${last}`;
}

/** Beside the table while the ranges are on their way, and once they are there. */
export function rangesWords(ranges: PlaceRanges | null, isLoading: boolean): string {
  if (isLoading) return 'The range of each place is being drawn; the table stands already.';
  if (ranges === null) return '';
  return ranges.ranges.length === 0
    ? 'Places have no ranges here.'
    : 'In brackets: the places that the scatter of the trials leaves open (95 %).';
}

export function labelsOf({ rows, notRanked }: Standings): (key: string) => string {
  const labels = new Map([...rows, ...notRanked].map(({ contender }) => [contender.key, contender.label]));
  return (key) => labels.get(key) ?? 'a tool that is no longer here';
}

/** "7 ranked, 2 not ranked". */
export function countWords({ rows, notRanked }: Standings): string {
  const ranked = `${rows.length} ranked`;
  return notRanked.length === 0 ? ranked : `${ranked}, ${notRanked.length} not ranked`;
}
