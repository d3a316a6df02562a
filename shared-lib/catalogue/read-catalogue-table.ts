import {
  claimColumns,
  type Column,
  type ColumnId,
  headerOf,
  priceColumns,
  readHeader,
} from './catalogue-columns.ts';
import type { Claim, Price } from './catalogue-model.ts';
import { unprotectCell } from './csv-cells.ts';
import { foldName } from './fold-name.ts';
import {
  emptyFields,
  fieldReaders,
  type FileFields,
  type Read,
  readAmount,
  readClaimKind,
  readCurrency,
  readDay,
  readPriceKind,
  readText,
  readTorque,
} from './read-catalogue-cell.ts';
import { type DecimalMark, findDecimalMark } from './read-number-cell.ts';

/** More than a catalogue has; a file of another kind is told before it is worked on. */
export const MOST_ROWS = 5000;
/** Likewise; each that is not known would be told by itself. */
const MOST_COLUMNS = 200;

/** A record of the file with the line on which it begins, from 1. */
export interface FileRow {
  readonly line: number;
  readonly cells: readonly string[];
}

/** A tool as a file has it, from all of its rows. */
export interface FileTool {
  readonly line: number;
  readonly name: string;
  readonly toolId: string | null;
  /** Of the columns that the file has. */
  readonly fields: Partial<FileFields>;
  /** Null: the file has no such columns. */
  readonly claims: readonly Omit<Claim, 'id'>[] | null;
  readonly prices: readonly Omit<Price, 'id'>[] | null;
  readonly problems: readonly string[];
}

export interface CatalogueTable {
  readonly tools: readonly FileTool[];
  /** Of the file as a whole, or of rows that belong to no tool. */
  readonly problems: readonly { readonly line: number; readonly problem: string }[];
}

interface Row {
  readonly line: number;
  /** Trimmed, without protection. */
  readonly cells: ReadonlyMap<ColumnId, string>;
}

interface Sheet {
  readonly columns: readonly Column[];
  readonly mark: DecimalMark;
}

const NOT_TEXT = /[\0-\u0008\u000b\u000c\u000e-\u001f\u007f\ufffd]/u;
const numberColumns: readonly ColumnId[] = [
  'length',
  'mass_bare',
  'mass_loaded',
  'vibration',
  'noise',
  'claim_torque',
  'price_amount',
];

/** The tools of a file of the catalogue, each with what is wrong in its rows, named by line and column. */
export function readCatalogueTable(records: readonly FileRow[]): CatalogueTable {
  const [header, ...rest] = records.filter(({ cells }) => cells.some((cell) => cell.trim() !== ''));
  if (header === undefined) {
    return {
      tools: [],
      problems: [{ line: 1, problem: 'The file is empty. It needs a header with “name”.' }],
    };
  }
  if (rest.length > MOST_ROWS) {
    const problem = `The file has ${rest.length} rows, more than the ${MOST_ROWS} that are read at once. Divide it.`;
    return { tools: [], problems: [{ line: header.line, problem }] };
  }
  const { columns, problems: headerProblems } = readColumns(header);
  if (headerProblems.length > 0) {
    return { tools: [], problems: headerProblems.map((problem) => ({ line: header.line, problem })) };
  }
  const problems: { line: number; problem: string }[] = [];
  const rows: Row[] = [];
  for (const record of rest) {
    const problem = whyNotRead(record, columns.length);
    if (problem === null) rows.push(toRow(record, columns));
    else problems.push({ line: record.line, problem });
  }
  const numbers = rows.flatMap(({ cells }) => numberColumns.map((id) => cells.get(id) ?? ''));
  const sheet = { columns, mark: findDecimalMark(numbers) };
  const { groups, nameless } = groupRows(rows);
  return {
    tools: groups.map((group) => readTool(group, sheet)),
    problems: [
      ...problems,
      ...nameless.map(({ line }) => ({
        line,
        problem: `Line ${line}, column name: each row needs the name of its tool.`,
      })),
    ],
  };
}

function readColumns({ line, cells }: FileRow): { columns: Column[]; problems: string[] } {
  if (cells.length > MOST_COLUMNS) {
    const problem = `Line ${line}: the header has ${cells.length} columns, and a catalogue has up to ${MOST_COLUMNS}. This is a file of another kind.`;
    return { columns: [], problems: [problem] };
  }
  const columns: Column[] = [];
  const problems: string[] = [];
  cells.forEach((cell, index) => {
    const read = readHeader(unprotectCell(cell));
    if ('problem' in read) problems.push(`Line ${line}, column ${index + 1}: ${read.problem}`);
    else if (columns.some(({ id }) => id === read.id)) {
      problems.push(`Line ${line}, column ${index + 1}: “${read.header}” is there twice.`);
    } else columns.push(read);
  });
  const has = (id: ColumnId): boolean => columns.some((column) => column.id === id);
  const needed: ColumnId[] = [
    'name',
    ...(claimColumns.some(has) ? (['claim_kind', 'claim_torque', 'claim_source'] as const) : []),
    ...(priceColumns.some(has)
      ? (['price_kind', 'price_amount', 'price_currency', 'price_on'] as const)
      : []),
  ];
  // A misspelt one is told as such, not as one that is missing too.
  if (problems.length === 0) {
    problems.push(
      ...needed
        .filter((id) => !has(id))
        .map((id) => `Line ${line}: the header has no column ${headerOf(id)}, which it needs.`),
    );
  }
  return { columns, problems };
}

function whyNotRead({ line, cells }: FileRow, columnCount: number): string | null {
  if (cells.length !== columnCount) {
    return `Line ${line} has ${cells.length} cells and the header has ${columnCount}. A text or number with the separator in it needs quotation marks.`;
  }
  const column = cells.findIndex((cell) => NOT_TEXT.test(cell));
  return column < 0
    ? null
    : `Line ${line}, column ${column + 1}: there is a character that is no text. Save the file as UTF-8.`;
}

function toRow({ line, cells }: FileRow, columns: readonly Column[]): Row {
  return {
    line,
    cells: new Map(columns.map(({ id }, index) => [id, unprotectCell((cells[index] ?? '').trim()).trim()])),
  };
}

/** By id where one is given, else by name; a row without id goes with the one tool of its name that has one. */
function groupRows(rows: readonly Row[]): { groups: Row[][]; nameless: Row[] } {
  const idsOfName = new Map<string, Set<string>>();
  for (const row of rows) {
    const [id, name] = [cellOf(row, 'tool_id'), foldName(cellOf(row, 'name'))];
    if (id !== '') idsOfName.set(name, (idsOfName.get(name) ?? new Set<string>()).add(id));
  }
  const groups = new Map<string, Row[]>();
  const nameless: Row[] = [];
  for (const row of rows) {
    const name = foldName(cellOf(row, 'name'));
    if (name === '') {
      nameless.push(row);
      continue;
    }
    const ids = idsOfName.get(name);
    const onlyId = ids?.size === 1 ? [...ids][0] : undefined;
    const id = cellOf(row, 'tool_id') || (onlyId ?? '');
    const key = id === '' ? `name:${name}` : `id:${id}`;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [row]);
    else group.push(row);
  }
  return { groups: [...groups.values()], nameless };
}

function readTool(rows: readonly Row[], sheet: Sheet): FileTool {
  const problems: string[] = [];
  const headerAt = (id: ColumnId): string => columnOf(sheet, id).header;
  const at = <Value>(row: Row, id: ColumnId, read: Read<Value>): Value | null => {
    if (!('problem' in read)) return read.value;
    problems.push(`Line ${row.line}, column ${headerAt(id)}: ${read.problem}`);
    return null;
  };
  const name = once(rows, 'name', headerAt, problems, (row) =>
    at(row, 'name', readText(cellOf(row, 'name'), 80)),
  );
  const toolId = once(rows, 'tool_id', headerAt, problems, (row) =>
    at(row, 'tool_id', readText(cellOf(row, 'tool_id'), 64)),
  );
  const fields: Partial<FileFields> = {};
  for (const column of sheet.columns) {
    if (!isFieldColumn(column.id)) continue;
    const { id } = column;
    const value = once(rows, id, headerAt, problems, (row) =>
      at(row, id, fieldReaders[id](cellOf(row, id), column, sheet.mark)),
    );
    // Without a supply there is no tool; whether it is needed shows once it is known whether the tool is new.
    Object.assign(fields, value ?? (id === 'supply' ? {} : emptyFields[id]));
  }
  const has = (id: ColumnId): boolean => sheet.columns.some((column) => column.id === id);
  return {
    line: rows[0]?.line ?? 0,
    name: name ?? '',
    toolId,
    fields,
    claims: has('claim_kind') ? unique(rows.flatMap((row) => readClaim(row, sheet, at))) : null,
    prices: has('price_kind') ? unique(rows.flatMap((row) => readPrice(row, sheet, at))) : null,
    problems,
  };
}

/** What the rows of a tool say in one column: the one thing that stands there, once or more often; null: nothing. */
function once<Value>(
  rows: readonly Row[],
  id: ColumnId,
  headerAt: (id: ColumnId) => string,
  problems: string[],
  read: (row: Row) => Value | null,
): Value | null {
  let first: { line: number; cell: string; value: Value } | null = null;
  for (const row of rows) {
    const cell = cellOf(row, id);
    if (cell === '') continue;
    const value = read(row);
    if (value === null) continue;
    if (first === null) first = { line: row.line, cell, value };
    else if (JSON.stringify(value) !== JSON.stringify(first.value)) {
      const why = id === 'class' ? ' A tool stands in one class.' : '';
      problems.push(
        `Line ${row.line}, column ${headerAt(id)}: “${cell}”, but line ${first.line} has “${first.cell}” for the same tool.${why} Put one of them right, or give two tools two names.`,
      );
    }
  }
  return first?.value ?? null;
}

type At = <Value>(row: Row, id: ColumnId, read: Read<Value>) => Value | null;

function readClaim(row: Row, sheet: Sheet, at: At): Omit<Claim, 'id'>[] {
  if (!claimColumns.some((id) => cellOf(row, id) !== '')) return [];
  const torque = columnOf(sheet, 'claim_torque');
  const kind = at(row, 'claim_kind', filled(row, 'claim_kind', readClaimKind));
  const torqueNm = at(
    row,
    'claim_torque',
    filled(row, 'claim_torque', (cell) => readTorque(cell, torque, sheet.mark)),
  );
  const source = at(
    row,
    'claim_source',
    filled(row, 'claim_source', (cell) => readText(cell, 200)),
  );
  const day = cellOf(row, 'claim_stated_on');
  const statedOn = day === '' ? null : at(row, 'claim_stated_on', readDay(day));
  return kind === null || torqueNm === null || source === null ? [] : [{ kind, torqueNm, source, statedOn }];
}

function readPrice(row: Row, sheet: Sheet, at: At): Omit<Price, 'id'>[] {
  if (!priceColumns.some((id) => cellOf(row, id) !== '')) return [];
  const kind = at(row, 'price_kind', filled(row, 'price_kind', readPriceKind));
  const amount = at(
    row,
    'price_amount',
    filled(row, 'price_amount', (cell) => readAmount(cell, sheet.mark)),
  );
  const currency = at(row, 'price_currency', filled(row, 'price_currency', readCurrency));
  const on = at(row, 'price_on', filled(row, 'price_on', readDay));
  const source = at(row, 'price_source', readText(cellOf(row, 'price_source'), 200));
  return kind === null || amount === null || currency === null || on === null || source === null
    ? []
    : [{ kind, amount, currency, on, source }];
}

function filled<Value>(row: Row, id: ColumnId, read: (cell: string) => Read<Value>): Read<Value> {
  const cell = cellOf(row, id);
  return cell === '' ? { problem: 'it is empty, and the rest of its claim or price is not.' } : read(cell);
}

function columnOf({ columns }: Sheet, id: ColumnId): Column {
  return columns.find((column) => column.id === id) ?? { id, header: id, unit: null };
}

function cellOf({ cells }: Row, id: ColumnId): string {
  return cells.get(id) ?? '';
}

function isFieldColumn(id: ColumnId): id is keyof typeof fieldReaders {
  return Object.hasOwn(fieldReaders, id);
}

/** A row that was copied for a further price repeats the claim that stands in it. */
function unique<Item>(items: readonly Item[]): Item[] {
  return [...new Map(items.map((item) => [JSON.stringify(item), item])).values()];
}
