import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import type { StandingsTable } from '../../../shared-lib/standings/standings-model.ts';
import '../../calibrate/figure-table.css';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { SelectField } from '../../ui/SelectField.tsx';
import { countWords } from '../../../shared-lib/standings/words/place-sentences.ts';
import { pointDecimals } from '../../../shared-lib/standings/words/point-decimals.ts';
import { Waiting } from '../Waiting.tsx';
import { previewRows, previewSentence } from './preview-rows.ts';
import type { DraftCheck } from './use-draft-check.ts';

interface SchemePreviewProps {
  readonly check: DraftCheck;
  readonly tables: readonly StandingsTable[];
  readonly tableId: string | null;
  readonly onTable: (tableId: string) => void;
  /** Why there is no order to be shown yet; null: nothing is in its way. */
  readonly obstacle: string | null;
}

/** The order under what stands in the form, with who moves, while it is typed. */
export function SchemePreview({ check, tables, tableId, onTable, obstacle }: SchemePreviewProps) {
  const { preview, isLoading, error } = check;
  return (
    <Panel title="Order by these rules" lead="Nothing of it is stored. Arrows and words say who moves.">
      {tables.length === 0 ? (
        <p>There is no table yet whose order could be shown. Save the scheme, and make a table with it.</p>
      ) : (
        <SelectField
          label="Table"
          options={tables.map(({ id, name }) => ({ key: id, label: name }))}
          selected={tableId}
          onSelect={onTable}
          help="Beside its order as it is now"
        />
      )}
      <FailureNotice error={error} />
      {obstacle === null ? null : <p className="standings-soft">{obstacle}</p>}
      <Waiting isLoading={isLoading}>The order is being computed.</Waiting>
      {preview === null || obstacle !== null ? null : (
        <>
          <p role="status">
            <strong>{previewSentence(preview.changes)}</strong>
          </p>
          <PreviewTable preview={preview} />
          <p className="standings-soft">{countWords(preview.standings)}.</p>
        </>
      )}
    </Panel>
  );
}

function PreviewTable({ preview }: { readonly preview: NonNullable<DraftCheck['preview']> }) {
  const { standings, changes } = preview;
  const decimals = pointDecimals(standings.rows.map(({ total }) => total));
  return (
    <div className="figure-table-frame" role="region" aria-label="Places by these rules" tabIndex={0}>
      <table className="figure-table">
        <caption className="visually-hidden">Places by these rules, and who moves</caption>
        <thead>
          <tr>
            <th scope="col">Place</th>
            <th scope="col">Tool</th>
            <th scope="col">Moves</th>
            <th scope="col" className="figure-table-number">
              Total
            </th>
          </tr>
        </thead>
        <tbody>
          {previewRows(standings, changes).map((row) => (
            <tr key={row.key} className={row.isMoving ? 'scheme-moving' : undefined}>
              <td>{row.place ?? '–'}</td>
              <th scope="row">{row.label}</th>
              <td className="scheme-move">
                <span aria-hidden="true">{row.arrow} </span>
                {row.move}
              </td>
              <td className="figure-table-number">
                {row.total === null ? '–' : formatNumber(row.total, decimals)}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
