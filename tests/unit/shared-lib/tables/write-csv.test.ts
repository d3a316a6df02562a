import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { writeCountsCsv } from '../../../../shared-lib/tables/write-counts-csv.ts';
import { type CsvForm, writeCsv } from '../../../../shared-lib/tables/write-csv.ts';

const plain: CsvForm = { separator: ',', decimal: '.', guardsFormulas: false };
const sheet: CsvForm = { separator: ';', decimal: ',', guardsFormulas: true };

/** By csv-parse, which knows nothing of the writer. */
function readBack(text: string, { separator }: CsvForm): string[][] {
  return parse(text, { delimiter: separator, record_delimiter: '\r\n' });
}

const texts = fc.oneof(
  fc.string({ unit: 'binary' }),
  fc.constantFrom('', ' ', '"', 'a;b', 'a,b', 'x\r\ny', '\uFEFFa'),
);
const numbers = fc.double({ noNaN: true, noDefaultInfinity: true });

describe('writing a table as CSV', () => {
  it('gives back every text as it was, whatever signs it has', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(texts, texts), { minLength: 1 }), (rows) => {
        expect(readBack(writeCsv(rows, plain), plain)).toEqual(rows);
      }),
    );
  });

  it('gives back every number bit for bit, with a point and with a comma', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(numbers, numbers), { minLength: 1 }), (rows) => {
        for (const form of [plain, sheet, { ...sheet, separator: ',' } as const]) {
          const read = readBack(writeCsv(rows, form), form).map((row) =>
            row.map((cell) => Number(cell.replace(',', '.'))),
          );
          expect(read).toEqual(rows);
        }
      }),
    );
    expect(writeCsv([[-0, 1e-7, 0.1 + 0.2]], plain)).toBe('-0,1e-7,0.30000000000000004\r\n');
  });

  it('ends each line with CRLF and leaves a missing value empty', () => {
    expect(
      writeCsv(
        [
          ['a', null, 1.5],
          [null, null, null],
        ],
        plain,
      ),
    ).toBe('a,,1.5\r\n,,\r\n');
    expect(writeCsv([[null]], plain)).toBe('""\r\n');
  });

  it('puts an apostrophe before text that a spreadsheet would take for a formula, and before no number', () => {
    const guarded = {
      '=1+1': "'=1+1",
      '+1': "'+1",
      '-1': "'-1",
      '@a': "'@a",
      '\t=1': "'\t'=1",
      '\ra': "'\ra",
      "'=1": "''=1",
    };
    for (const [text, written] of Object.entries(guarded)) {
      expect(readBack(writeCsv([[text]], sheet), sheet)).toEqual([[written]]);
    }
    expect(writeCsv([['H5 -2', -1.5, 'a=b']], sheet)).toBe('H5 -2;-1,5;a=b\r\n');
    expect(writeCsv([['=1+1']], plain)).toBe('=1+1\r\n');
  });

  it('refuses a number for which CSV has no sign', () => {
    expect(() => writeCsv([[Number.NaN]], plain)).toThrow(RangeError);
    expect(() => writeCsv([[Number.POSITIVE_INFINITY]], plain)).toThrow(RangeError);
  });
});

describe('writing counts as CSV', () => {
  it('writes a row for each slot that was received, and none for a lost one', () => {
    const counts = Int32Array.of(0, -1, 99, 100, -2_147_483_648, 2_147_483_647, 7);
    const text = Buffer.from(writeCountsCsv(counts, [{ offset: 2, length: 2 }])).toString('ascii');
    expect(text).toBe('0,0\r\n1,-1\r\n4,-2147483648\r\n5,2147483647\r\n6,7\r\n');
  });

  it('is what writing the numbers as text would be, in one piece or in several', () => {
    const gap = fc.record({ offset: fc.nat(60), length: fc.integer({ min: 1, max: 9 }) });
    fc.assert(
      fc.property(
        fc.int32Array({ minLength: 70, maxLength: 70 }),
        fc.array(gap, { maxLength: 3 }),
        fc.nat(70),
        (counts, wanted, cut) => {
          const gaps = wanted
            .toSorted((a, b) => a.offset - b.offset)
            .filter(({ offset }, index, all) => {
              const before = all[index - 1];
              return index < 1 || before === undefined || offset > before.offset + 9;
            });
          const isLost = (slot: number): boolean =>
            gaps.some(({ offset, length }) => slot >= offset && slot < offset + length);
          const expected = [...counts]
            .map((count, slot) => (isLost(slot) ? '' : `${slot},${count}\r\n`))
            .join('');
          const pieces = [
            writeCountsCsv(counts, gaps, { first: 0, end: cut }),
            writeCountsCsv(counts, gaps, { first: cut, end: counts.length }),
          ];
          expect(Buffer.concat(pieces).toString('ascii')).toBe(expected);
        },
      ),
    );
  });

  it('refuses slots that are not there', () => {
    expect(() => writeCountsCsv(new Int32Array(3), [], { first: 0, end: 4 })).toThrow(RangeError);
  });
});
