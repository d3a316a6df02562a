import BetterSqlite3 from 'better-sqlite3';
import { Readable } from 'node:stream';
import { CsvError, parse } from 'csv-parse';
import { mediaTypeOf, whyNoPhoto } from '../../shared-lib/catalogue/photo-kind.ts';
import type { PackageTable } from '../../shared-lib/package/package-table.ts';
import { packageTables, photoFile, tableFile } from '../../shared-lib/package/package-tables.ts';
import type { StoredValue } from '../../shared-lib/package/write-table.ts';
import type { WritableDatabase } from '../storage/database.ts';
import { prepared } from '../storage/recording-statements.ts';
import { translateStorageError } from '../storage/storage-errors.ts';
import { type ListedFile, type PackageFile, readListed } from './package-file.ts';
import { invalidPackage } from './package-problem.ts';
import { withDerived } from './derived-columns.ts';
import { type Cell, readCells, type Row } from './read-cells.ts';

export interface Reading {
  readonly file: PackageFile;
  readonly files: ReadonlyMap<string, ListedFile>;
  readonly staging: WritableDatabase;
  /** Told now and then how many bytes were read; throws where it was cancelled. */
  readonly onRead: (bytes: number) => Promise<void>;
}

/** Longest line, such as a guided calibration with all that came of it. */
const MOST_LINE_LENGTH = 16 * 2 ** 20;
/** What a foreign program may not set: the time when an amplifier was last here. */
const NEVER_HERE = '1970-01-01T00:00:00.000Z';

/**
 * Reads all tables of a package into a database of their own, which has the checks and references of ours.
 *
 * Errors: AppError 'package-invalid' with file and line; 'disk-full'.
 */
export async function stageTables(reading: Reading): Promise<void> {
  for (const table of packageTables) await stageTable(reading, table);
}

async function stageTable(reading: Reading, table: PackageTable): Promise<void> {
  const path = tableFile(table.name);
  const names = table.columns.map(({ name }) => name);
  let isHeader = true;
  for await (const { cells, line } of csvLines(reading, path)) {
    const found = cells.map(({ text }) => text);
    if (isHeader) {
      isHeader = false;
      if (found.length === names.length && names.every((name, index) => name === found[index])) continue;
      throw invalidPackage(
        path,
        line,
        `Its columns are not those of ${table.name}: ${explainColumns(names, found)}`,
      );
    }
    if (cells.length !== names.length) {
      throw invalidPackage(
        path,
        line,
        `It has ${cells.length} cells, and the first line has ${names.length}.`,
      );
    }
    const row = readCells(table, cells);
    if (isProblem(row)) throw invalidPackage(path, line, row.problem);
    const whole = table.name === 'tool_photo' ? { ...row, bytes: await readPhoto(reading, row, line) } : row;
    insert(reading.staging, table, whole, line);
  }
  if (isHeader) throw invalidPackage(path, 1, 'The file is empty.');
}

function isProblem(read: Row | { readonly problem: string }): read is { readonly problem: string } {
  return 'problem' in read && typeof read.problem === 'string';
}

function explainColumns(expected: readonly string[], found: readonly string[]): string {
  const missing = expected.filter((name) => !found.includes(name));
  const unknown = found
    .filter((name) => !expected.includes(name))
    .map((name) => JSON.stringify(name.slice(0, 40)));
  if (missing.length > 0) return `${missing.join(', ')} ${missing.length === 1 ? 'is' : 'are'} missing.`;
  if (unknown.length > 0) return `${unknown.join(', ')} ${unknown.length === 1 ? 'is' : 'are'} not known.`;
  return 'their order is another.';
}

/** Lines of a CSV file with the number of the line on which each begins. */
async function* csvLines(
  reading: Reading,
  path: string,
): AsyncGenerator<{ readonly cells: readonly Cell[]; readonly line: number }> {
  const parser = parse({
    info: true,
    relax_column_count: true,
    record_delimiter: '\r\n',
    max_record_size: MOST_LINE_LENGTH,
    cast: (text, { quoting }): Cell => ({ text, isQuoted: quoting }),
  });
  const source = Readable.from(textOf(reading, path));
  source.on('error', (error) => parser.destroy(error));
  source.pipe(parser);
  let line = 1;
  try {
    for await (const parsed of parser) {
      const { record, info } = parsed as { record: readonly Cell[]; info: { lines: number } };
      yield { cells: record, line };
      line = info.lines + 1;
    }
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    throw invalidPackage(
      path,
      line,
      'The file is no table there: a quotation mark that is opened and not closed, one in the middle of a cell, or a line that is far too long.',
      error,
    );
  } finally {
    source.destroy();
  }
}

async function* textOf({ file, files, onRead }: Reading, path: string): AsyncGenerator<string> {
  const listed = files.get(path);
  if (!listed) throw invalidPackage(path, null, 'The file is missing.');
  const decoder = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });
  for await (const piece of readListed(file, listed)) {
    let text: string;
    try {
      text = decoder.decode(piece, { stream: true });
    } catch (error) {
      throw invalidPackage(path, null, 'It is not UTF-8.', error);
    }
    if (text !== '') yield text;
    await onRead(piece.length);
  }
  try {
    decoder.decode();
  } catch (error) {
    throw invalidPackage(path, null, 'It ends in the middle of a letter.', error);
  }
}

async function readPhoto({ file, files, onRead }: Reading, row: Row, line: number): Promise<Uint8Array> {
  const mediaType = String(row['media_type']);
  const path = photoFile(String(row['id']), mediaType);
  const listed = files.get(path);
  if (!listed) throw invalidPackage(tableFile('tool_photo'), line, `The picture ${path} is missing.`);
  const pieces: Uint8Array[] = [];
  for await (const piece of readListed(file, listed)) pieces.push(piece);
  const bytes = Buffer.concat(pieces);
  await onRead(bytes.length);
  const found = mediaTypeOf(bytes);
  if (found === null || found !== mediaType || whyNoPhoto(bytes, found) !== null) {
    throw invalidPackage(path, null, `It is no picture of type ${mediaType}, or too large.`);
  }
  return bytes;
}

function insert(staging: WritableDatabase, table: PackageTable, row: Row, line: number): void {
  const { slot_count: slotCount, ...stored } =
    table.name === 'trial' ? row : { ...row, slot_count: undefined };
  const whole = withDerived(table.name, stored, NEVER_HERE);
  try {
    insertRow(staging, table.name, whole);
    if (slotCount !== undefined) {
      prepared(staging, 'INSERT INTO slots_of_trial (trial_id, slot_count) VALUES (?, ?)').run(
        row['id'],
        slotCount,
      );
    }
  } catch (error) {
    if (!(error instanceof BetterSqlite3.SqliteError) || !error.code.startsWith('SQLITE_CONSTRAINT')) {
      throw translateStorageError(error);
    }
    throw invalidPackage(tableFile(table.name), line, explainRefusal(staging, table, row, error), error);
  }
}

export function insertRow(database: WritableDatabase, table: string, row: Row): number | bigint {
  const names = Object.keys(row);
  return prepared<[Row]>(
    database,
    `INSERT INTO ${table} (${names.join(', ')}) VALUES (${names.map((name) => `@${name}`).join(', ')})`,
  ).run(row).lastInsertRowid;
}

function explainRefusal(
  staging: WritableDatabase,
  table: PackageTable,
  row: Row,
  { code, message }: { readonly code: string; readonly message: string },
): string {
  switch (code) {
    case 'SQLITE_CONSTRAINT_PRIMARYKEY':
    case 'SQLITE_CONSTRAINT_UNIQUE':
    case 'SQLITE_CONSTRAINT_ROWID':
      return `Something is there twice that may be there once (${message.replace('UNIQUE constraint failed: ', '')}).`;
    case 'SQLITE_CONSTRAINT_FOREIGNKEY':
      return danglingReference(staging, table, row);
    case 'SQLITE_CONSTRAINT_CHECK':
      return `A value is not possible there: ${message.replace('CHECK constraint failed: ', '')} is not so.`;
    default:
      return `The line contradicts itself or others (${message}).`;
  }
}

function danglingReference(staging: WritableDatabase, { columns }: PackageTable, row: Row): string {
  for (const { name, refersTo } of columns) {
    const value: StoredValue | undefined = row[name];
    if (refersTo === null || value === null || value === undefined) continue;
    const isThere = staging.prepare(`SELECT 1 FROM ${refersTo} WHERE id = ?`).get(value) !== undefined;
    if (!isThere) {
      return `${name} is ${JSON.stringify(value)}, and there is no such row in ${tableFile(refersTo)}.`;
    }
  }
  return 'Two of the rows that it refers to do not belong together, such as a calibration and a transducer.';
}
