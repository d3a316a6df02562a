import { z } from 'zod';
import type { Standings } from '../../../shared-lib/standings/standings-model.ts';

/** What a table was when this browser last showed it, so that the cells that are other can be marked. */
const seenSchema = z.strictObject({
  at: z.string(),
  scheme: z.string(),
  places: z.record(z.string(), z.number().nullable()),
  cells: z.record(
    z.string(),
    z.strictObject({ value: z.number().nullable(), points: z.number().nullable() }),
  ),
});
export type SeenTable = z.infer<typeof seenSchema>;

export function cellId(key: string, termId: string): string {
  return JSON.stringify([key, termId]);
}

export function seenOf(standings: Standings, at: string): SeenTable {
  const { rows, notRanked, scheme } = standings;
  const all = [
    ...rows.map((row) => ({ ...row, seenPlace: row.place })),
    ...notRanked.map((row) => ({ ...row, seenPlace: null })),
  ];
  return {
    at,
    scheme: `${scheme.schemeId} ${scheme.version}`,
    places: Object.fromEntries(all.map(({ contender, seenPlace }) => [contender.key, seenPlace])),
    cells: Object.fromEntries(
      all.flatMap(({ contender, cells }) =>
        cells.map(({ termId, value, points }) => [cellId(contender.key, termId), { value, points }]),
      ),
    ),
  };
}

/** What was stored by another version, or by hand, is no look. */
export function readSeen(text: string | null): SeenTable | null {
  if (text === null) return null;
  const parsed = seenSchema.safeParse(parseJson(text));
  return parsed.success ? parsed.data : null;
}

function parseJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch (failure) {
    if (failure instanceof SyntaxError) return null;
    throw failure;
  }
}

export interface LookChanges {
  /** By `cellId`: what was there before; null: nothing, the cell is new. */
  readonly cells: ReadonlyMap<
    string,
    { readonly value: number | null; readonly points: number | null } | null
  >;
  /** By key: the place before; null: not ranked or not there. */
  readonly places: ReadonlyMap<string, number | null>;
  readonly isOtherScheme: boolean;
}

export function changesSince(seen: SeenTable, standings: Standings): LookChanges {
  const now = seenOf(standings, seen.at);
  const cells = new Map(
    Object.entries(now.cells).flatMap(([id, cell]) => {
      const before = seen.cells[id];
      if (before !== undefined && isSame(before.value, cell.value) && isSame(before.points, cell.points))
        return [];
      return [[id, before ?? null] as const];
    }),
  );
  const places = new Map(
    Object.entries(now.places).flatMap(([key, place]) =>
      seen.places[key] === place ? [] : [[key, seen.places[key] ?? null] as const],
    ),
  );
  return { cells, places, isOtherScheme: seen.scheme !== now.scheme };
}

export function isNothingChanged({ cells, places, isOtherScheme }: LookChanges): boolean {
  return cells.size === 0 && places.size === 0 && !isOtherScheme;
}

/** Sums that were added up in another order differ in their last digits. */
function isSame(before: number | null, now: number | null): boolean {
  if (before === null || now === null) return before === now;
  return Math.abs(before - now) <= 1e-9 * Math.max(1, Math.abs(before));
}

/** "3 cells and 2 places are other than on 3 Mar 2026, 10:12." */
export function lookSentence(changes: LookChanges, when: string): string {
  const parts = [countOf(changes.cells.size, 'cell'), countOf(changes.places.size, 'place')].filter(
    (part) => part !== '',
  );
  const scheme = changes.isOtherScheme ? ' The rules are another version or another scheme since then.' : '';
  if (parts.length === 0) return `Since you looked on ${when}: no figure is another.${scheme}`;
  const isOne = changes.cells.size + changes.places.size === 1;
  return `${parts.join(' and ')} ${isOne ? 'is' : 'are'} other than when you looked on ${when}; each is marked with what it was.${scheme}`;
}

function countOf(count: number, what: string): string {
  if (count === 0) return '';
  return count === 1 ? `1 ${what}` : `${count} ${what}s`;
}
