import type { StandingsRow } from '../../../shared-lib/standings/standings-model.ts';

/**
 * The term to open for "why is it in this place?": the one in which it is farthest from the first, for the first itself the
 * one that brings it the most. Terms with trials behind them come before those without. Null: there are no terms.
 */
export function decidingTermId(row: StandingsRow, first: StandingsRow): string | null {
  const distances = row.cells.map(({ termId, points, count }) => {
    const other =
      row.contender.key === first.contender.key
        ? 0
        : (first.cells.find((cell) => cell.termId === termId)?.points ?? 0);
    return { termId, hasTrials: count > 0, distance: Math.abs((points ?? 0) - other) };
  });
  const [farthest] = distances.toSorted(
    (a, b) => Number(b.hasTrials) - Number(a.hasTrials) || b.distance - a.distance,
  );
  return farthest?.termId ?? null;
}
