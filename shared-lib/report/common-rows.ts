import type { Row } from './report-blocks.ts';

/** More different values than these are counted, not listed. */
const MOST_LISTED = 4;

/**
 * Rows of several trials as one list: a value that all share stands once, those that differ stand side by side, each with how many
 * trials have it. Rows that only some have say so.
 */
export function commonRows(rowsPerTrial: readonly (readonly Row[])[]): Row[] {
  const all = rowsPerTrial.length;
  const valuesByName = new Map<string, Map<string, number>>();
  for (const rows of rowsPerTrial) {
    for (const { name, value } of rows) {
      const values = valuesByName.get(name) ?? new Map<string, number>();
      values.set(value, (values.get(value) ?? 0) + 1);
      valuesByName.set(name, values);
    }
  }
  return [...valuesByName].map(([name, values]) => ({ name, value: valuesInWords(values, all) }));
}

function valuesInWords(values: ReadonlyMap<string, number>, all: number): string {
  const known = [...values.values()].reduce((sum, count) => sum + count, 0);
  const missing = all - known;
  const [only] = values.keys();
  if (values.size === 1 && missing === 0 && only !== undefined) return only;
  const listed = [...values]
    .toSorted(([, one], [, other]) => other - one)
    .slice(0, MOST_LISTED)
    .map(([value, count]) => `${value} (${countOfTrials(count)})`);
  const others = values.size - listed.length;
  return [
    ...listed,
    ...(others === 0 ? [] : [`${others} more values`]),
    ...(missing === 0 ? [] : [`not noted for ${countOfTrials(missing)}`]),
  ].join('; ');
}

function countOfTrials(count: number): string {
  return count === 1 ? '1 trial' : `${count} trials`;
}
