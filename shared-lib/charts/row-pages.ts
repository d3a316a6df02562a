import type { Box } from './chart-frame.ts';

/** How rows of a list share the room: in columns beside each other, and how many have none. */
export interface RowPages {
  readonly columns: readonly Box[];
  readonly perColumn: number;
  readonly rowPx: number;
}

/**
 * One column as long as rows have their least height, then more of them; rows beyond that are left out by whoever draws, and said.
 * `footPx`: below each column, for its axis.
 */
export function pagesOf(
  count: number,
  body: Box,
  {
    leastRowPx,
    mostRowPx,
    leastColumnPx,
    gapPx,
    footPx,
  }: {
    readonly leastRowPx: number;
    readonly mostRowPx: number;
    readonly leastColumnPx: number;
    readonly gapPx: number;
    readonly footPx: number;
  },
): RowPages {
  const [widthPx, heightPx] = [body.rightPx - body.leftPx, body.bottomPx - body.topPx - footPx];
  const perLeast = Math.max(1, Math.floor(heightPx / leastRowPx));
  const mostColumns = Math.max(1, Math.floor((widthPx + gapPx) / (leastColumnPx + gapPx)));
  const columns = Math.min(mostColumns, Math.max(1, Math.ceil(count / perLeast)));
  const perColumn = Math.min(perLeast, Math.max(1, Math.ceil(count / columns)));
  const columnPx = (widthPx - (columns - 1) * gapPx) / columns;
  const rowPx = Math.min(mostRowPx, heightPx / perColumn);
  return {
    perColumn,
    rowPx,
    columns: Array.from({ length: columns }, (_, index) => ({
      leftPx: body.leftPx + index * (columnPx + gapPx),
      rightPx: body.leftPx + index * (columnPx + gapPx) + columnPx,
      topPx: body.topPx,
      bottomPx: body.topPx + perColumn * rowPx,
    })),
  };
}

/** "Rows 1 to 24 of 60 are drawn"; null: all are. */
export function notDrawnWords(drawn: number, all: number): string | null {
  return drawn >= all ? null : `The first ${drawn} of ${all} are drawn; all are in the data.`;
}
