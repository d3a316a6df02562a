import type { CurveMapping, CurvesPreview } from '../../../../shared-lib/exchange/exchange-requests.ts';
import { SelectField } from '../../../ui/SelectField.tsx';
import { type ColumnUse, columnUse, withColumnUse } from './column-uses.ts';

const uses: readonly { readonly key: ColumnUse; readonly label: string }[] = [
  { key: 'time', label: 'Time' },
  { key: 'torque', label: 'Torque' },
  { key: 'nothing', label: 'Not read' },
];

export interface MappingTableProps {
  readonly preview: CurvesPreview;
  readonly onMapping: (mapping: CurveMapping) => void;
}

/** The first lines as they stand in the file, each column with what it is read as. */
export function MappingTable({ preview, onMapping }: MappingTableProps) {
  const { mapping, columns, rows, rowCount } = preview;
  return (
    <>
      <div className="figure-table-frame">
        <table className="figure-table curves-table" aria-label="First lines of the file">
          <thead>
            <tr>
              {columns.map((name, column) => (
                <th key={`${column} ${name}`} scope="col">
                  <span className="curves-column-name">{name}</span>
                  <SelectField
                    label={`What “${name}” is`}
                    isLabelHidden
                    options={uses}
                    selected={columnUse(mapping, column)}
                    onSelect={(use) => onMapping(withColumnUse(mapping, column, use))}
                  />
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map((cells, line) => (
              <tr key={line}>
                {columns.map((name, column) => (
                  <td key={`${column} ${name}`} className="figure-table-number">
                    {cells[column] ?? ''}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <p className="share-soft">
        {rowCount} {rowCount === 1 ? 'line' : 'lines'} of numbers; the first {rows.length} are shown.
      </p>
    </>
  );
}
