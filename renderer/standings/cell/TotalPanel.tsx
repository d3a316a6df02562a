import { Link } from 'wouter';
import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import type { Standings } from '../../../shared-lib/standings/standings-model.ts';
import '../../calibrate/figure-table.css';
import { Panel } from '../../ui/Panel.tsx';
import { cellAddress } from '../standings-addresses.ts';
import { pointDecimals } from '../../../shared-lib/standings/words/point-decimals.ts';
import { leadWords } from './cell-sentences.ts';

interface TotalPanelProps {
  readonly standings: Standings;
  readonly contenderKey: string;
  readonly termId: string;
  readonly editionId: string | null;
}

/** The other terms of the same tool beside those of the first: where its place comes from. */
export function TotalPanel({ standings, contenderKey, termId, editionId }: TotalPanelProps) {
  const { rows, scheme, table } = standings;
  const row = rows.find(({ contender }) => contender.key === contenderKey);
  const first = rows[0];
  if (row === undefined || first === undefined) return null;
  const decimals = pointDecimals(rows.map(({ total }) => total));
  const pointsOf = ({ cells }: typeof row, id: string) =>
    cells.find((cell) => cell.termId === id)?.points ?? null;
  const shown = (points: number | null) => (points === null ? 'left out' : formatNumber(points, decimals));
  const isFirst = row === first;
  return (
    <Panel title={`Place ${row.place} of ${rows.length}`} lead={leadWords(row, rows, decimals)}>
      <div className="figure-table-frame">
        <table className="figure-table cell-total">
          <caption className="visually-hidden">Points of each term</caption>
          <thead>
            <tr>
              <th scope="col">Term</th>
              <th scope="col" className="figure-table-number">
                Points
              </th>
              {isFirst ? null : (
                <th scope="col" className="figure-table-number">
                  {first.contender.label}
                </th>
              )}
            </tr>
          </thead>
          <tbody>
            {scheme.terms.map(({ id, label }) => (
              <tr key={id}>
                <th scope="row">
                  {id === termId ? (
                    <span aria-current="page">{label} (this one)</span>
                  ) : (
                    <Link
                      className="cell-trial-link"
                      href={cellAddress({ tableId: table.id, key: contenderKey, termId: id, editionId })}
                    >
                      {label}
                    </Link>
                  )}
                </th>
                <td className="figure-table-number">{shown(pointsOf(row, id))}</td>
                {isFirst ? null : <td className="figure-table-number">{shown(pointsOf(first, id))}</td>}
              </tr>
            ))}
            <tr>
              <th scope="row">
                {scheme.isNormalised ? 'Total, divided by the sum of the factors' : 'Total'}
              </th>
              <td className="figure-table-number">
                <strong>{formatNumber(row.total, decimals)}</strong>
              </td>
              {isFirst ? null : (
                <td className="figure-table-number">{formatNumber(first.total, decimals)}</td>
              )}
            </tr>
          </tbody>
        </table>
      </div>
    </Panel>
  );
}
