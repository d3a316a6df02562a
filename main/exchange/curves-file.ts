import { createHash } from 'node:crypto';
import { readFileSync, statSync } from 'node:fs';
import { CsvError, parse } from 'csv-parse/sync';
import { AppError } from '../../shared-lib/app-error.ts';
import { guessMapping } from '../../shared-lib/exchange/curves/guess-mapping.ts';
import { createCurveReader, type ReadCurves } from '../../shared-lib/exchange/curves/read-curves.ts';
import type { CurveMapping } from '../../shared-lib/exchange/exchange-requests.ts';

/** Some four million numbers; a longer record is better taken in as a package. */
const MOST_BYTES = 64 * 2 ** 20;
const GUESSED_LINES = 200;
/** Ours: 256 columns of numbers have some 4000 signs. A longer line is a file of another kind, or one to choke on. */
const MOST_LINE_LENGTH = 2 ** 16;

export interface CurvesFile {
  readonly mapping: CurveMapping;
  readonly read: ReadCurves;
  /** SHA-256. */
  readonly fingerprint: string;
}

/**
 * Reads a CSV file of curves; `mapping` null: by a guess.
 *
 * Errors: AppError 'import-refused' for what is no table at all.
 */
export function readCurvesFile(path: string, fileName: string, mapping: CurveMapping | null): CurvesFile {
  const { size } = statSync(path);
  if (size === 0) throw refused(fileName, 'it is empty');
  if (size > MOST_BYTES) {
    throw refused(fileName, `it has ${Math.ceil(size / 2 ** 20)} MiB, and at most 64 are read`);
  }
  const bytes = readFileSync(path);
  const { text, isUtf8 } = decode(bytes, fileName);
  if (hasLongLine(text)) throw refused(fileName, `a line of it has more than ${MOST_LINE_LENGTH} signs`);
  const chosen = mapping ?? guessMapping(headLines(text));
  const reader = createCurveReader(chosen);
  const problem = eachRow(text, chosen.separator, reader.takeRow);
  const read = reader.finish();
  return {
    mapping: chosen,
    read: {
      ...read,
      ...(problem === null ? {} : { curves: [], problems: [problem, ...read.problems] }),
      remarks: isUtf8
        ? read.remarks
        : [...read.remarks, 'The file is not UTF-8; names of columns may read wrongly, numbers do not.'],
    },
    fingerprint: createHash('sha256').update(bytes).digest('hex'),
  };
}

function headLines(text: string): string[] {
  return text
    .slice(0, 1_000_000)
    .split(/\r\n|\r|\n/, GUESSED_LINES + 1)
    .slice(0, GUESSED_LINES);
}

function hasLongLine(text: string): boolean {
  let start = 0;
  for (let at = 0; at < text.length; at += 1) {
    const sign = text.charCodeAt(at);
    // Some old files end their lines with a carriage return alone.
    if (sign === 10 || sign === 13) start = at + 1;
    else if (at - start >= MOST_LINE_LENGTH) return true;
  }
  return false;
}

/** By its byte-order mark, else UTF-8, else the old single-byte one of the west. */
function decode(bytes: Buffer, fileName: string): { readonly text: string; readonly isUtf8: boolean } {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) {
    return { text: new TextDecoder('utf-16le').decode(bytes), isUtf8: true };
  }
  if (bytes.subarray(0, 4096).includes(0)) throw refused(fileName, 'it is no text');
  try {
    return { text: new TextDecoder('utf-8', { fatal: true }).decode(bytes), isUtf8: true };
  } catch (error) {
    if (!(error instanceof TypeError)) throw error;
    return { text: new TextDecoder('windows-1252').decode(bytes), isUtf8: false };
  }
}

/** Row by row, so that a million samples are never a million arrays. Returns what is wrong with it as a table. */
function eachRow(
  text: string,
  separator: CurveMapping['separator'],
  takeRow: (cells: readonly string[], line: number) => void,
): string | null {
  try {
    parse(text, {
      bom: true,
      delimiter: separator,
      relax_column_count: true,
      skip_empty_lines: true,
      // A cell in quotation marks may go on over many lines.
      max_record_size: MOST_LINE_LENGTH,
      on_record(cells: string[], { lines }) {
        takeRow(cells, lines);
        return null;
      },
    });
    return null;
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    const line = typeof error.lines === 'number' ? error.lines : 1;
    return `Line ${line}: the file is no table there. Look for a quotation mark that is opened and not closed, or one in the middle of a cell, which has to be doubled.`;
  }
}

function refused(fileName: string, why: string): AppError {
  return new AppError(
    'import-refused',
    `${fileName} cannot be read as a table: ${why}. Nothing was taken in. Choose a text file with a line for each sample, its cells separated by commas, semicolons or tabs.`,
  );
}
