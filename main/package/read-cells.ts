import type { PackageColumn, PackageTable } from '../../shared-lib/package/package-table.ts';
import { FILE_SAFE_ID } from '../../shared-lib/package/package-tables.ts';
import type { StoredValue } from '../../shared-lib/package/write-table.ts';
import { jsonColumns } from './json-columns.ts';

/** A cell as the CSV has it. An empty one that was quoted is a text, any other empty one is nothing. */
export interface Cell {
  readonly text: string;
  readonly isQuoted: boolean;
}

export type Row = Readonly<Record<string, StoredValue>>;

const WHOLE = /^-?\d{1,15}$/;
const NUMBER = /^-?\d+(?:\.\d+)?(?:e[+-]?\d+)?$/;
const TIME = /^\d{4}-\d\d-\d\d(?:T\d\d:\d\d(?::\d\d(?:\.\d+)?)?Z)?$/;
const BASE64 = /^(?:[A-Za-z0-9+/]{4})*(?:[A-Za-z0-9+/]{2}==|[A-Za-z0-9+/]{3}=)?$/;
const MOST_ID_LENGTH = 64;

/** A line of a table as the database takes it, or what is wrong with one of its cells. */
export function readCells(table: PackageTable, cells: readonly Cell[]): Row | { readonly problem: string } {
  const row: Record<string, StoredValue> = {};
  for (const [index, column] of table.columns.entries()) {
    const cell = cells[index] ?? { text: '', isQuoted: false };
    const read = readCell(table, column, cell);
    if (typeof read === 'object' && read !== null && 'problem' in read) {
      return { problem: `${column.name} ${read.problem}` };
    }
    row[column.name] = read;
  }
  return row;
}

function readCell(
  table: PackageTable,
  column: PackageColumn,
  { text, isQuoted }: Cell,
): StoredValue | { readonly problem: string } {
  if (text === '' && !isQuoted && column.isNullable) return null;
  if (column.oneOf !== null && !column.oneOf.includes(text)) {
    return { problem: `is ${shown(text)}, and may only be ${column.oneOf.join(', ')}.` };
  }
  switch (column.type) {
    case 'text':
      return readText(table, column, text);
    case 'time':
      return TIME.test(text) && !Number.isNaN(Date.parse(text))
        ? text
        : { problem: `is ${shown(text)}, which is no time in UTC.` };
    case 'flag':
      return text === '0' || text === '1'
        ? Number(text)
        : { problem: `is ${shown(text)}, and may only be 0 or 1.` };
    case 'whole':
      return WHOLE.test(text) ? Number(text) : { problem: `is ${shown(text)}, which is no whole number.` };
    case 'number':
      return NUMBER.test(text) && Number.isFinite(Number(text))
        ? Number(text)
        : { problem: `is ${shown(text)}, which is no number.` };
    case 'bytes':
      return BASE64.test(text) ? Buffer.from(text, 'base64') : { problem: 'is no Base64.' };
    case 'object':
    case 'array':
      return readJson(`${table.name}.${column.name}`, text);
  }
}

function readText(
  table: PackageTable,
  { name, refersTo }: PackageColumn,
  text: string,
): string | { readonly problem: string } {
  const isKey = refersTo !== null || (table.key.length === 1 && table.key[0] === name) || name === 'row_key';
  if (!isKey) return text;
  if (text === '' || text.length > MOST_ID_LENGTH) {
    return { problem: `is ${shown(text)}, which is no id.` };
  }
  // Samples and photos lie in files of that name.
  const isFileName = (table.name === 'trial' || table.name === 'tool_photo') && name === 'id';
  return isFileName && !FILE_SAFE_ID.test(text)
    ? { problem: `is ${shown(text)}, which cannot be the name of a file.` }
    : text;
}

function readJson(column: string, text: string): string | { readonly problem: string } {
  const schema = jsonColumns[column];
  if (!schema) throw new Error(`Nobody knows what ${column} has to be`);
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    return { problem: 'is no JSON.' };
  }
  const read = schema.safeParse(value);
  if (read.success) return text;
  const [issue] = read.error.issues;
  const path = issue?.path.join('.') ?? '';
  return {
    problem: `is not what the program writes there${path === '' ? '' : `, at ${path}`}: ${issue?.message ?? ''}.`,
  };
}

function shown(text: string): string {
  return JSON.stringify(text.length > 60 ? `${text.slice(0, 60)}…` : text);
}
