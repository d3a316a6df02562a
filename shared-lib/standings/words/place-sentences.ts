import type { PlaceRange, PlaceRanges, Standings } from '../standings-model.ts';

/** Places with how far they are known, and who is not told apart from whom. */
const MOST_NAMED = 3;

/** "(1 to 4)"; empty while it is not known, or where nobody has one, which is said below the table. */
export function rangeWords(ranges: PlaceRanges | null, key: string): string {
  if (ranges === null || ranges.ranges.length === 0) return '';
  const range = ranges.ranges.find((candidate) => candidate.key === key);
  return range === undefined ? '(no range)' : `(${range.bestPlace} to ${range.worstPlace})`;
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

/** The name of the tool alone where that tells it from all others in the table, else with pack, setting and socket. */
export function shortLabelsOf({
  rows,
  notRanked,
}: Pick<Standings, 'rows' | 'notRanked'>): (key: string) => string {
  const contenders = [...rows, ...notRanked].map(({ contender }) => contender);
  const counts = new Map<string, number>();
  for (const { toolName } of contenders) counts.set(toolName, (counts.get(toolName) ?? 0) + 1);
  const labels = new Map(
    contenders.map(({ key, label, toolName }) => [key, counts.get(toolName) === 1 ? toolName : label]),
  );
  return (key) => labels.get(key) ?? 'a tool that is no longer here';
}

/** What stands behind the name of the tool: pack, setting and socket; empty where there is none of them. */
export function setupPart({
  label,
  toolName,
}: {
  readonly label: string;
  readonly toolName: string;
}): string {
  return label.startsWith(`${toolName}, `) ? label.slice(toolName.length + 2) : '';
}

/** "7 ranked, 2 not ranked". */
export function countWords({ rows, notRanked }: Standings): string {
  const ranked = `${rows.length} ranked`;
  return notRanked.length === 0 ? ranked : `${ranked}, ${notRanked.length} not ranked`;
}
