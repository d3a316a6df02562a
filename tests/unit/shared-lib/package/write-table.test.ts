import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { numberOrNull, rowsOf, text, textOrNull } from '../../../../shared-lib/package/package-table.ts';
import { packageTables } from '../../../../shared-lib/package/package-tables.ts';
import { tableHeader, tableLine } from '../../../../shared-lib/package/write-table.ts';
import { readCells } from '../../../../main/package/read-cells.ts';

const table = rowsOf({
  name: 'example',
  description: '',
  columns: [text('id'), text('note'), textOrNull('reason'), numberOrNull('torque_nm')],
});
/** What CSV is made of, and what lies beyond ASCII. */
const awkward = fc.constantFrom(
  'a',
  '"',
  ',',
  '\r',
  '\n',
  ' ',
  '\t',
  '=',
  '\u2028',
  '\uFEFF',
  'ё',
  '😀',
  '0',
);
const noBytes = (): string => '';

/** As an independent reader of CSV splits it, with what was quoted. */
function cellsOf(csv: string): { text: string; isQuoted: boolean }[] {
  const [, line] = parse(csv, {
    record_delimiter: '\r\n',
    cast: (value, { quoting }) => ({ text: value, isQuoted: quoting }),
  }) as unknown as { text: string; isQuoted: boolean }[][];
  return line ?? [];
}

describe('a line of a table', () => {
  it('reads back equal, bit for bit, whatever its texts and numbers are', () => {
    fc.assert(
      fc.property(
        fc.record({
          id: fc.uuid(),
          note: fc.string({ unit: awkward }),
          reason: fc.option(fc.string({ unit: awkward })),
          torque_nm: fc.option(fc.double({ noDefaultInfinity: true, noNaN: true })),
        }),
        (row) => {
          const csv = tableHeader(table.columns) + tableLine(table.columns, row, noBytes);
          expect(readCells(table, cellsOf(csv))).toEqual(row);
        },
      ),
    );
  });

  it('tells an empty text from none', () => {
    const line = (reason: string | null): string =>
      tableLine(table.columns, { id: 'a', note: '', reason, torque_nm: null }, noBytes);
    expect(line(null)).toBe('a,,,\r\n');
    expect(line('')).toBe('a,,"",\r\n');
  });

  it('is refused where a number has no sign in CSV', () => {
    const row = { id: 'a', note: '', reason: null, torque_nm: Number.POSITIVE_INFINITY };
    expect(() => tableLine(table.columns, row, noBytes)).toThrow(RangeError);
  });
});

describe('the list of tables', () => {
  it('names what is referred to before what refers to it', () => {
    const before = new Set<string>();
    for (const { name, columns, belongsTo } of packageTables) {
      before.add(name);
      // A calibration names its run, and a run's last event was its end: the run comes first.
      for (const { refersTo } of columns) if (refersTo !== null) expect(before, name).toContain(refersTo);
      if (belongsTo) expect(before, name).toContain(belongsTo.table);
    }
  });

  it('orders every table by columns that it has', () => {
    for (const { name, columns, key, order } of packageTables) {
      const names = columns.map((column) => column.name);
      for (const column of [...key, ...order]) expect(names, name).toContain(column);
      expect(new Set(names).size, name).toBe(names.length);
    }
  });
});
