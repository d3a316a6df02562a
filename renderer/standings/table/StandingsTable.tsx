import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import type { PlaceRanges, Standings, StandingsRow } from '../../../shared-lib/standings/standings-model.ts';
import '../../calibrate/figure-table.css';
import { StateShape } from '../../ui/StateShape.tsx';
import '../../ui/state-shape.css';
import { cellAddress } from '../standings-addresses.ts';
import { useQuantityContext } from '../use-measure-words.ts';
import { classLabel } from '../../../shared-lib/standings/words/measure-words.ts';
import { cellId, type LookChanges } from './last-look.ts';
import {
  neighbourWords,
  rangeWords,
  setupPart,
  shortLabelsOf,
} from '../../../shared-lib/standings/words/place-sentences.ts';
import './standings-table.css';
import { pointDecimals } from '../../../shared-lib/standings/words/point-decimals.ts';
import { shownCell, termColumns } from './table-rows.ts';
import { TermCell } from './TermCell.tsx';

interface StandingsTableProps {
  readonly standings: Standings;
  /** Null: not there yet, or for what stood there before. */
  readonly ranges: PlaceRanges | null;
  /** Null: as it is now. */
  readonly editionId: string | null;
  /** What is other than at the last look. */
  readonly changes: LookChanges | null;
}

/** Places, values, points and totals; each cell leads to what is behind it. */
export function StandingsTable({ standings, ranges, editionId, changes }: StandingsTableProps) {
  const { table, scheme, rows } = standings;
  const columns = termColumns(standings, useQuantityContext(table.currency));
  const decimals = pointDecimals(rows.map(({ total }) => total));
  const labelOf = shortLabelsOf(standings);
  const rangeOf = (row: StandingsRow) => ranges?.ranges.find(({ key }) => key === row.contender.key);
  return (
    <div className="figure-table-frame" role="region" aria-label={`Places of ${table.name}`} tabIndex={0}>
      <table className="figure-table standings-table">
        <caption className="visually-hidden">
          {table.name} by {scheme.name}: place, tool, value and points of each term, total
        </caption>
        <thead>
          <tr>
            <th scope="col">Place</th>
            <th scope="col">Tool</th>
            <th scope="col">Class</th>
            {columns.map(({ term, quantity }) => (
              <th key={term.id} scope="col" className="standings-term">
                <span className="standings-term-name">{term.label}</span>
                <span className="standings-pair">
                  <span>{quantity.unit}</span>
                  <span>points</span>
                </span>
              </th>
            ))}
            <th scope="col" className="figure-table-number">
              Total
            </th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => {
            const { contender } = row;
            const range = rangeOf(row);
            const neighbours = neighbourWords(range, labelOf);
            const before = changes?.places.get(contender.key);
            return (
              <tr key={contender.key}>
                <td className="standings-place">
                  <strong>{row.place}</strong>{' '}
                  <span className="standings-range">{rangeWords(ranges, contender.key)}</span>
                  {before === undefined ? null : (
                    <span className="standings-was">
                      {before === null ? 'was not ranked' : `was ${before}`}
                    </span>
                  )}
                </td>
                <th scope="row" className="standings-tool">
                  {setupPart(contender) === '' ? contender.label : contender.toolName}
                  {setupPart(contender) === '' ? null : (
                    <span className="standings-remark">{setupPart(contender)}</span>
                  )}
                  {neighbours === '' ? null : <span className="standings-remark">{neighbours}</span>}
                  <RowCautions cautions={row.cautions} />
                </th>
                <td className="standings-class">
                  {row.toolClass === null ? 'not known' : classLabel(row.toolClass)}
                </td>
                {columns.map((column) => (
                  <TermCell
                    key={column.term.id}
                    address={cellAddress({
                      tableId: table.id,
                      key: contender.key,
                      termId: column.term.id,
                      editionId,
                    })}
                    toolLabel={contender.label}
                    column={column}
                    cell={shownCell(
                      row.cells.find(({ termId }) => termId === column.term.id),
                      column,
                      decimals,
                    )}
                    before={changes?.cells.get(cellId(contender.key, column.term.id))}
                    pointDecimals={decimals}
                  />
                ))}
                <td className="figure-table-number">
                  <strong>{formatNumber(row.total, decimals)}</strong>
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
}

function RowCautions({ cautions }: { readonly cautions: readonly string[] }) {
  if (cautions.length === 0) return null;
  return (
    <details className="standings-details standings-remark">
      <summary>
        <StateShape shape="caution" /> {cautions.length === 1 ? '1 caution' : `${cautions.length} cautions`}
      </summary>
      <ul className="standings-sentences">
        {cautions.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
    </details>
  );
}
