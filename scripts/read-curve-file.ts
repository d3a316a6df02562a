import { CsvError, parse } from 'csv-parse/sync';
import { AppError } from '../shared-lib/app-error.ts';

export interface CurveFile {
  readonly column: 'torque_nm' | 'raw_counts';
  readonly timesS: Float64Array;
  readonly values: Float64Array;
  /** Of each sample, from 1. */
  readonly lines: Int32Array;
  /** The value of the last digit that a time was written with. */
  readonly timeResolutionS: number;
}

interface Columns {
  readonly time: number;
  readonly value: number;
  readonly name: CurveFile['column'];
}

type Refuse = (line: number, what: string) => never;

const MOST_COUNTS = 2 ** 31 - 1;
const NUMBER = /^[+-]?(?:\d+(?:\.(\d*))?|\.(\d+))(?:e([+-]?\d+))?$/i;
const WANTED = 'time_s,torque_nm or time_s,raw_counts';
const AS_WANTED = 'Write the file with commas between the columns and points in the numbers.';

/**
 * A curve from a CSV file with the header `time_s,torque_nm` or `time_s,raw_counts`, the columns in any order. What is not a
 * number is refused and never passed over: a sample that was lost has no line.
 *
 * Errors: AppError 'input-out-of-range' with the line (counted from 1) and what to do.
 */
export function readCurve(text: string, fileName: string): CurveFile {
  const refuse: Refuse = (line, what) => {
    throw new AppError('input-out-of-range', `${fileName}, line ${line}: ${what}`, { line });
  };
  const read: { columns: Columns | null; times: number[]; values: number[]; lines: number[] } = {
    columns: null,
    times: [],
    values: [],
    lines: [],
  };
  let decimals = 0;
  eachRow(text, refuse, (cells, line) => {
    if (read.columns === null) {
      read.columns = readHeader(cells, line, refuse);
      return;
    }
    if (cells.length !== 2) {
      const count = cells.length === 1 ? 'is one cell' : `are ${cells.length} cells`;
      refuse(
        line,
        `there ${count}, and the header names two columns. A decimal comma counts as a separator. ${AS_WANTED}`,
      );
    }
    const { time, value, name } = read.columns;
    const timeCell = cells[time]?.trim() ?? '';
    read.times.push(readNumber(timeCell, 'time_s', line, refuse));
    decimals = Math.max(decimals, decimalsOf(timeCell));
    const number = readNumber(cells[value]?.trim() ?? '', name, line, refuse);
    if (name === 'raw_counts' && !(Number.isInteger(number) && Math.abs(number) <= MOST_COUNTS)) {
      refuse(
        line,
        `raw counts are whole numbers of at most 32 bits, and ${number} is not. Torque has a column torque_nm.`,
      );
    }
    read.values.push(number);
    read.lines.push(line);
  });
  if (read.columns === null) {
    return refuse(1, `the file is empty; it needs the header ${WANTED} and a line for each sample.`);
  }
  if (read.values.length < 2) {
    const count = read.values.length === 0 ? 'there is no sample' : 'there is only one sample';
    return refuse(
      read.lines[0] ?? 1,
      `${count} under the header; a curve needs at least two to have a sample rate.`,
    );
  }
  return {
    column: read.columns.name,
    timesS: Float64Array.from(read.times),
    values: Float64Array.from(read.values),
    lines: Int32Array.from(read.lines),
    timeResolutionS: 10 ** -decimals,
  };
}

function readHeader(cells: readonly string[], line: number, refuse: Refuse): Columns {
  const names = cells.map((cell) => cell.trim().toLowerCase());
  const [only = ''] = names;
  if (names.length === 1 && /[;\t]/.test(only)) {
    return refuse(line, `the columns are not separated by commas. ${AS_WANTED}`);
  }
  const unknown = names.find((name) => !['time_s', 'torque_nm', 'raw_counts'].includes(name));
  if (unknown !== undefined) {
    return refuse(line, `"${unknown}" is no column of a curve; the header must be ${WANTED}.`);
  }
  const [torque, counts] = [names.indexOf('torque_nm'), names.indexOf('raw_counts')];
  const time = names.indexOf('time_s');
  if (names.length !== 2 || time < 0 || (torque < 0 && counts < 0)) {
    return refuse(line, `the header must be ${WANTED}; it is "${cells.join(',')}".`);
  }
  return torque >= 0
    ? { time, value: torque, name: 'torque_nm' }
    : { time, value: counts, name: 'raw_counts' };
}

function readNumber(cell: string, name: string, line: number, refuse: Refuse): number {
  // Number() alone would take an empty cell for 0 and "0x10" for 16.
  if (NUMBER.test(cell) && Number.isFinite(Number(cell))) return Number(cell);
  const advice = cell.includes(',')
    ? 'Write a decimal point instead of a comma.'
    : 'Leave out the line of a sample that was lost; nothing is filled in for it.';
  return refuse(line, `"${cell}" is not a number for ${name}. ${advice}`);
}

/** Digits behind the point: 3 for "0.125" and for "1.25e-1". */
function decimalsOf(cell: string): number {
  const [, afterWhole, afterPoint, exponent] = NUMBER.exec(cell) ?? [];
  return (afterWhole ?? afterPoint ?? '').length - Number(exponent ?? 0);
}

/** Row by row, so that a million samples are never a million arrays. */
function eachRow(
  text: string,
  refuse: Refuse,
  takeRow: (cells: readonly string[], line: number) => void,
): void {
  try {
    parse(text, {
      bom: true,
      relax_column_count: true,
      skip_empty_lines: true,
      on_record: (record: string[], { lines }) => {
        takeRow(record, lines);
        return null;
      },
    });
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    refuse(Number(error['lines'] ?? 1), error.message);
  }
}
