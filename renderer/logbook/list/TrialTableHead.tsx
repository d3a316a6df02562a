import { ArrowDown, ArrowUp } from 'lucide-react';
import type { TrialSort } from '../../../shared-lib/logbook/logbook-requests.ts';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { nextSort, sortDirection, type TableColumn, type TableLayout } from './table-columns.ts';

interface TrialTableHeadProps {
  readonly layout: TableLayout;
  readonly sort: TrialSort;
  readonly onSort: (sort: TrialSort) => void;
}

export function TrialTableHead({ layout, sort, onSort }: TrialTableHeadProps) {
  const { unitLabel } = useTorqueDisplay();
  return (
    <div role="rowgroup" className="trial-table-head" style={{ minWidth: layout.minWidth }}>
      <div
        role="row"
        aria-rowindex={1}
        className="trial-table-row"
        style={{ gridTemplateColumns: layout.gridTemplateColumns }}
      >
        <div role="columnheader" className="trial-table-pick">
          <span className="visually-hidden">Picked</span>
        </div>
        {layout.columns.map((column) => (
          <HeadCell
            key={column.key}
            column={column}
            title={column.key === 'sustained' ? `${column.title}, ${unitLabel}` : column.title}
            sort={sort}
            onSort={onSort}
          />
        ))}
      </div>
    </div>
  );
}

interface HeadCellProps {
  readonly column: TableColumn;
  readonly title: string;
  readonly sort: TrialSort;
  readonly onSort: (sort: TrialSort) => void;
}

function HeadCell({ column, title, sort, onSort }: HeadCellProps) {
  const direction = sortDirection(column, sort);
  const next = nextSort(column, sort);
  return (
    <div
      role="columnheader"
      className={`trial-table-${column.key}`}
      {...(next === null ? {} : { 'aria-sort': direction ?? 'none' })}
    >
      {next === null ? (
        title
      ) : (
        <button
          type="button"
          className="trial-table-sort"
          title={`Sort by ${column.title.toLowerCase()}`}
          onClick={() => onSort(next)}
        >
          <span>{title}</span>
          {direction === 'ascending' ? <ArrowUp aria-hidden="true" size={16} /> : null}
          {direction === 'descending' ? <ArrowDown aria-hidden="true" size={16} /> : null}
        </button>
      )}
    </div>
  );
}
