import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import type { Term } from '../../../shared-lib/standings/scheme-model.ts';
import type { Cell, Standings } from '../../../shared-lib/standings/standings-model.ts';
import {
  columnDecimals,
  type MeasureQuantity,
  type QuantityContext,
  quantityOf,
} from '../words/measure-quantity.ts';

/** A table of standings as text. A term has the same decimals in all rows, so that numbers stand on the point. */
export interface TermColumn {
  readonly term: Term;
  readonly quantity: MeasureQuantity;
  readonly decimals: number;
}

export interface ShownCell {
  readonly termId: string;
  /** Without its unit, which stands in the head; null: missing. */
  readonly value: string | null;
  /** Why there is no value, in words. */
  readonly missing: string | null;
  /** Null: the term was left out. */
  readonly points: string | null;
  /** What is to be known of the points; empty where nothing is. */
  readonly remark: string;
}

export function termColumns(standings: Standings, context: QuantityContext): TermColumn[] {
  const all = [...standings.rows, ...standings.notRanked];
  return standings.scheme.terms.map((term) => {
    const quantity = quantityOf(term.measure, context);
    const values = all.flatMap(({ cells }) =>
      cells.flatMap(({ termId, value }) => (termId === term.id && value !== null ? [value] : [])),
    );
    return { term, quantity, decimals: columnDecimals(quantity, values) };
  });
}

export function shownCell(cell: Cell | undefined, column: TermColumn, decimals: number): ShownCell {
  const termId = column.term.id;
  if (cell === undefined) return { termId, value: null, missing: 'not asked for', points: null, remark: '' };
  const { value, points, missing, isCapped } = cell;
  return {
    termId,
    value: value === null ? null : formatNumber(column.quantity.toShown(value), column.decimals),
    missing: value === null ? (missing ?? 'missing') : null,
    points: points === null ? null : formatNumber(points, decimals),
    remark: remarkOf({ isMissing: value === null || missing !== null, points, isCapped }),
  };
}

function remarkOf(cell: {
  readonly isMissing: boolean;
  readonly points: number | null;
  readonly isCapped: boolean;
}): string {
  if (cell.points === null) return 'left out';
  if (cell.isMissing) return 'for missing';
  return cell.isCapped ? 'capped' : '';
}
