import { NotAPackage } from './not-a-package.ts';
import { type CsvCell, isNumberText, readRows, type Row } from './read-rows.ts';

interface Schema<Value> {
  parse(value: unknown): Value;
}

/** A row of `data/TABLE.csv`. What it cannot give is thrown as NotAPackage, which names file, row and column. */
export interface TableRow {
  /** "data/trial.csv, row 3 (3f2c…)". */
  readonly where: string;
  has(column: string): boolean;
  text(column: string): string;
  textOrNull(column: string): string | null;
  number(column: string): number;
  numberOrNull(column: string): number | null;
  /** 1 or 0. */
  flag(column: string): boolean;
  json<Value>(column: string, schema: Schema<Value>): Value;
  jsonOrNull<Value>(column: string, schema: Schema<Value>): Value | null;
}

export function readTable(csv: string, fileName: string): TableRow[] {
  return readRows(csv, fileName).map((cells, index) => tableRow(cells, fileName, index + 1));
}

function tableRow(cells: Row, fileName: string, number: number): TableRow {
  const id = cells['id'] ?? cells['trial_id'];
  const where = `${fileName}, row ${number}${id === undefined ? '' : ` (${id})`}`;
  const fail = (column: string, what: string): never => {
    throw new NotAPackage(where, `${column}: ${what}`);
  };
  const cell = (column: string): CsvCell => {
    const found = cells[column];
    return found === undefined ? fail(column, 'there is no such column.') : found;
  };
  const text = (column: string): string => cell(column) ?? '';
  const number_ = (column: string): number => {
    const found = text(column);
    return isNumberText(found) ? Number(found) : fail(column, `“${found}” is not a number.`);
  };
  const json = <Value>(column: string, schema: Schema<Value>): Value => {
    try {
      return schema.parse(JSON.parse(text(column)));
    } catch (cause) {
      if (cause instanceof NotAPackage) throw cause;
      return fail(column, `is not what this program writes there. ${reasonOf(cause)}`);
    }
  };
  return {
    where,
    has: (column) => cells[column] !== undefined,
    text,
    textOrNull: cell,
    number: number_,
    numberOrNull: (column) => (cell(column) === null ? null : number_(column)),
    flag(column) {
      const found = text(column);
      if (found !== '0' && found !== '1') return fail(column, `“${found}” is neither 0 nor 1.`);
      return found === '1';
    },
    json,
    jsonOrNull: (column, schema) => (cell(column) === null ? null : json(column, schema)),
  };
}

/** Of an error of a schema or of JSON, in one line. */
export function reasonOf(cause: unknown): string {
  const message = cause instanceof Error ? cause.message : String(cause);
  const line = message.replaceAll(/\s+/g, ' ').trim();
  return line.length > 300 ? `${line.slice(0, 300)}…` : line;
}
