import { Link } from 'wouter';
import { formatNumber, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import type { ShownCell, TermColumn } from './table-rows.ts';

interface TermCellProps {
  readonly address: string;
  readonly toolLabel: string;
  readonly column: TermColumn;
  readonly cell: ShownCell;
  /** Undefined: as it was at the last look; null: it was not there. */
  readonly before: { readonly value: number | null; readonly points: number | null } | null | undefined;
  readonly pointDecimals: number;
}

/** Value and points of one term, as a link to what is behind them. */
export function TermCell({ address, toolLabel, column, cell, before, pointDecimals }: TermCellProps) {
  const { term, quantity } = column;
  const unit = quantity.unit === '' ? '' : THIN_SPACE + quantity.unit;
  return (
    <td className={before === undefined ? 'standings-cell' : 'standings-cell standings-cell-other'}>
      <Link href={address} className="standings-pair standings-trail">
        <span className="visually-hidden">
          {term.label} of {toolLabel}:{' '}
        </span>
        {cell.value === null ? (
          <span className="standings-missing">{cell.missing}</span>
        ) : (
          <span>
            {cell.value}
            <span className="visually-hidden">{unit}, </span>
          </span>
        )}
        <span className="standings-points">
          {cell.points ?? '–'}
          <span className="visually-hidden"> points</span>
          {cell.remark === '' ? null : <span className="standings-remark">{cell.remark}</span>}
        </span>
      </Link>
      {before === undefined ? null : (
        <span className="standings-was">{wasWords(before, column, pointDecimals)}</span>
      )}
    </td>
  );
}

function wasWords(before: TermCellProps['before'], column: TermColumn, decimals: number): string {
  if (before == null) return 'new';
  const value =
    before.value === null ? 'missing' : formatNumber(column.quantity.toShown(before.value), column.decimals);
  const points = before.points === null ? 'left out' : `${formatNumber(before.points, decimals)} points`;
  return `was ${value}, ${points}`;
}
