import type { TrialSort } from '../../../shared-lib/logbook/logbook-requests.ts';
import type { TrialRow } from '../../../shared-lib/trial/words/trial-row.ts';

export type ColumnKey = Exclude<keyof TrialRow, 'id' | 'setup'>;

export interface TableColumn {
  readonly key: ColumnKey;
  readonly title: string;
  /** As a track of the grid. */
  readonly width: string;
  /** In the pixels of a type of 16 px; below this the table scrolls sideways. */
  readonly leastRem: number;
  /** Without these two nobody knows which trial a row is. */
  readonly isAlwaysShown?: boolean;
  /** What a press on the head asks for: the first, or the second where the first is in force. */
  readonly sorts?: readonly [TrialSort, TrialSort?];
}

export const tableColumns: readonly TableColumn[] = [
  {
    key: 'when',
    title: 'When',
    width: '13rem',
    leastRem: 13,
    isAlwaysShown: true,
    sorts: ['newest', 'oldest'],
  },
  {
    key: 'tool',
    title: 'Tool and setup',
    width: 'minmax(13rem, 3fr)',
    leastRem: 13,
    isAlwaysShown: true,
    sorts: ['tool'],
  },
  { key: 'step', title: 'Step', width: 'minmax(7.5rem, 1fr)', leastRem: 7.5 },
  { key: 'place', title: 'Round and role', width: 'minmax(8.25rem, 1fr)', leastRem: 8.25 },
  { key: 'sustained', title: 'Sustained', width: '7.75rem', leastRem: 7.75, sorts: ['strongest', 'weakest'] },
  { key: 'quality', title: 'Quality', width: '8rem', leastRem: 8 },
  { key: 'state', title: 'State', width: '8.25rem', leastRem: 8.25 },
  { key: 'tags', title: 'Tags and note', width: 'minmax(6.5rem, 2fr)', leastRem: 6.5 },
  { key: 'marks', title: 'Marks', width: 'minmax(7rem, 1fr)', leastRem: 7 },
];

const PICK_REM = 2;
const GAP_REM = 0.5;

export interface TableLayout {
  readonly columns: readonly TableColumn[];
  readonly gridTemplateColumns: string;
  readonly minWidth: string;
}

export function tableLayout(hidden: ReadonlySet<ColumnKey>): TableLayout {
  const columns = tableColumns.filter((column) => !hidden.has(column.key));
  const leastRem = columns.reduce((sum, column) => sum + column.leastRem + GAP_REM, PICK_REM + 2 * GAP_REM);
  return {
    columns,
    gridTemplateColumns: [`${PICK_REM}rem`, ...columns.map(({ width }) => width)].join(' '),
    minWidth: `${leastRem}rem`,
  };
}

/** The order that a press on a column's head asks for; null where the list cannot be in that order. */
export function nextSort({ sorts }: TableColumn, current: TrialSort): TrialSort | null {
  if (sorts === undefined) return null;
  const [first, second] = sorts;
  return current === first ? (second ?? first) : first;
}

/** For screen readers; null: the list is not in the order of this column. */
export function sortDirection({ sorts }: TableColumn, current: TrialSort): 'ascending' | 'descending' | null {
  if (sorts === undefined || !sorts.includes(current)) return null;
  return current === 'oldest' || current === 'weakest' || current === 'tool' ? 'ascending' : 'descending';
}

const STORAGE_KEY = 'proofarm.logbookHiddenColumns';

/** By this browser, as screens differ; the hidden ones are kept, so that a new column shows. */
export function rememberedHiddenColumns(): ReadonlySet<ColumnKey> {
  return readHiddenColumns(localStorage.getItem(STORAGE_KEY));
}

export function rememberHiddenColumns(hidden: ReadonlySet<ColumnKey>): void {
  localStorage.setItem(STORAGE_KEY, [...hidden].join(' '));
}

/** What is stored may be of another version: a column that there is no longer, or that always shows, is passed over. */
export function readHiddenColumns(stored: string | null): ReadonlySet<ColumnKey> {
  const names = new Set((stored ?? '').split(' '));
  return new Set(
    tableColumns
      .filter(({ key, isAlwaysShown }) => isAlwaysShown !== true && names.has(key))
      .map(({ key }) => key),
  );
}
