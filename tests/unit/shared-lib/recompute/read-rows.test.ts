import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isNumberText, readRows } from '../../../../shared-lib/recompute/read-rows.ts';
import { writeCsv } from '../../../../shared-lib/tables/write-csv.ts';

describe('a table of a package', () => {
  it('reads back what the program writes, whatever stands in its cells', () => {
    const cell = fc.oneof(
      fc.string(),
      fc.constantFrom('a,b', 'say "so"', 'two\r\nlines', '', ' ', '=1+1', '\u202f'),
    );
    fc.assert(
      fc.property(fc.array(fc.tuple(cell, cell), { maxLength: 8 }), (rows) => {
        const csv = writeCsv([['left', 'right'], ...rows], {
          separator: ',',
          decimal: '.',
          guardsFormulas: false,
        });
        const read = readRows(csv, 'data/x.csv').map(({ left, right }) => [left ?? '', right ?? '']);
        expect(read).toEqual(rows);
      }),
    );
  });

  it('tells an empty cell from an empty text', () => {
    expect(readRows('a,b,c\r\n,"",\r\n', 'x')).toEqual([{ a: null, b: '', c: null }]);
  });

  it.each([
    ['a,b\r\n1\r\n', /Row 1 has 1 cells, and the header has 2/],
    ['a,b\r\n"1,2\r\n', /A quote is opened and never closed/],
    ['a,b\r\n"1"x,2\r\n', /Row 1 has text behind a closing quote/],
    ['a,a\r\n1,2\r\n', /Two columns have the same name/],
    ['', /The file is empty/],
  ])('is refused with the line and the reason: %j', (csv, told) => {
    expect(() => readRows(csv, 'data/x.csv')).toThrow(told);
  });
});

it('takes for a number what the program writes as one, and nothing that only Number takes', () => {
  fc.assert(
    fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (value) => isNumberText(String(value))),
  );
  expect(['', ' ', '0x1', '1_0', 'NaN', '1e', '--1', '1 '].some(isNumberText)).toBe(false);
});
