import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { protectCell, unprotectCell, writeCsv } from '../../../../shared-lib/catalogue/csv-cells.ts';

describe('a cell that a spreadsheet would take for a formula', () => {
  it.each([
    ['=1+1', "'=1+1"],
    ['+49 170', "'+49 170"],
    ['-5 °C', "'-5 °C"],
    ['@SUM(A1)', "'@SUM(A1)"],
    ['  =1', "'  =1"],
    ["'=1", "''=1"],
    ['＝1', "'＝1"],
    ['a;=1', "a;'=1"],
    ['a\n=1', "a\n'=1"],
    ['a\t=1', "a\t'=1"],
  ])('is made harmless: %j', (text, written) => {
    expect(protectCell(text)).toBe(written);
    expect(unprotectCell(written)).toBe(text);
  });

  it.each(['Hollin H5', "'s box", "''", 'a=b', 'low-speed', '', '5 - 6'])('is not %j', (text) => {
    expect(protectCell(text)).toBe(text);
    expect(unprotectCell(text)).toBe(text);
  });

  it('comes back as it was, and begins with none of the signs wherever a spreadsheet may divide it', () => {
    const signs = fc.string({
      unit: fc.constantFrom('=', '+', '-', '@', "'", ' ', ';', '\t', '\n', '\r', 'a', '"'),
    });
    fc.assert(
      fc.property(fc.oneof(signs, fc.string()), (text) => {
        const written = protectCell(text);
        expect(unprotectCell(written)).toBe(text);
        for (const part of written.split(/[;\t\r\n]/)) expect(part).not.toMatch(/^ *[=+\-@]/);
      }),
    );
  });
});

describe('a CSV file', () => {
  it('has a byte-order mark, quotation marks where needed, and ends its lines as RFC 4180 has it', () => {
    expect(
      writeCsv([
        ['a', 'b'],
        ['say "x"', '1,5'],
        ['two\nlines', '=x'],
      ]),
    ).toBe(`\uFEFFa,b\r\n"say ""x""","1,5"\r\n"two\nlines","'=x"\r\n`);
  });
});
