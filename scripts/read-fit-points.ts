import { CsvError, parse } from 'csv-parse/sync';
import { AppError } from '../shared-lib/app-error.ts';
import type { FitPoint } from '../shared-lib/calibration/fit-polynomial.ts';

interface Line {
  readonly info: { readonly lines: number };
  readonly record: readonly string[];
}

const names = ['x', 'y', 'weight'] as const;
type Name = (typeof names)[number];

/**
 * Points from a CSV file with a header; other columns are refused, so that a misspelt weight is not passed over.
 *
 * Errors: AppError 'input-out-of-range' with line and column (counted from 1).
 */
export function readFitPoints(text: string, fileName: string): FitPoint[] {
  const refuse = (line: number, column: number, what: string): never => {
    throw new AppError('input-out-of-range', `${fileName}, line ${line}, column ${column}: ${what}`, {
      line,
      column,
    });
  };

  const [header, ...rows] = readLines(text, refuse);
  if (!header) return refuse(1, 1, 'the file is empty; it needs a header with x and y.');
  const columns = new Map<Name, number>();
  header.record.forEach((cell, index) => {
    const name = names.find((known) => known === cell.trim().toLowerCase());
    if (name === undefined)
      return refuse(header.info.lines, index + 1, `"${cell}" is not a column; there are x, y and weight.`);
    if (columns.has(name)) return refuse(header.info.lines, index + 1, `there are two columns ${name}.`);
    columns.set(name, index);
  });
  for (const name of ['x', 'y'] as const) {
    if (!columns.has(name)) refuse(header.info.lines, 1, `the header has no column ${name}.`);
  }

  return rows.map(({ record, info }) => {
    const read = (name: Name): number | undefined => {
      const index = columns.get(name);
      if (index === undefined) return undefined;
      const cell = record[index]?.trim() ?? '';
      // Number() alone would take an empty cell for 0 and "0x10" for 16.
      if (!/^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(cell) || !Number.isFinite(Number(cell))) {
        return refuse(info.lines, index + 1, `"${cell}" is not a number for ${name}.`);
      }
      return Number(cell);
    };
    if (record.length !== header.record.length) {
      refuse(
        info.lines,
        Math.min(record.length, header.record.length) + 1,
        `there are ${record.length} cells and the header has ${header.record.length}. A decimal comma counts as a separator: write a point.`,
      );
    }
    const weight = read('weight');
    if (weight !== undefined && !(weight > 0)) {
      refuse(info.lines, (columns.get('weight') ?? 0) + 1, `a weight must be more than 0; ${weight} is not.`);
    }
    return {
      x: read('x') ?? Number.NaN,
      y: read('y') ?? Number.NaN,
      ...(weight === undefined ? {} : { weight }),
    };
  });
}

function readLines(text: string, refuse: (line: number, column: number, what: string) => never): Line[] {
  try {
    // The types of the library do not follow the option that adds the line numbers.
    return parse(text, {
      bom: true,
      info: true,
      relax_column_count: true,
      skip_empty_lines: true,
    }) as unknown as Line[];
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    return refuse(Number(error['lines'] ?? 1), Number(error['column'] ?? 0) + 1, error.message);
  }
}
