import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readPairs } from '../../../../shared-lib/recompute/read-pairs.ts';
import { utf8Bytes } from '../../../../shared-lib/recompute/utf8.ts';

describe('raw counts and arrival times', () => {
  const read = (csv: string, header = 'slot,counts', most = 100): number[] => [
    ...readPairs(utf8Bytes(csv), header, 'x', most),
  ];

  it('are read with CRLF or LF, to the last digit', () => {
    expect(read('slot,counts\r\n0,-5\r\n3,8388607\r\n')).toEqual([0, -5, 3, 8388607]);
    expect(read('slot,arrival_us\n2,1.5e3', 'slot,arrival_us')).toEqual([2, 1500]);
    expect(read('slot,counts\r\n')).toEqual([]);
    expect(read('slot,counts')).toEqual([]);
  });

  it('are the numbers that the same texts are, whatever they are', () => {
    const number = fc.oneof(
      fc.double({ noNaN: true, noDefaultInfinity: true }),
      fc.integer(),
      fc.maxSafeInteger(),
      fc.constantFrom(-0, 0, 1e15, -(2 ** 31), 999_999_999_999_999),
    );
    fc.assert(
      fc.property(fc.array(fc.tuple(number, number)), (pairs) => {
        const written = pairs.map(([left, right]) => [text(left), text(right)] as const);
        const csv = `slot,counts\r\n${written.map((line) => `${line.join(',')}\r\n`).join('')}`;
        expect(read(csv)).toEqual(written.flat().map(Number));
      }),
    );
  });

  it.each([
    ['slot,count\r\n0,1\r\n', /The header is not "slot,counts"/],
    ['slot,counts,more\r\n0,1\r\n', /The header is not "slot,counts"/],
    ['', /The header is not "slot,counts"/],
    ['slot,counts\r\n0,1\r\n1,\r\n', /Line 3 is not two numbers: "1,"/],
    ['slot,counts\r\n,1\r\n', /Line 2 is not two numbers: ",1"/],
    ['slot,counts\r\n12\r\n0,1\r\n', /Line 2 is not two numbers: "12"/],
    ['slot,counts\r\n0,1,2\r\n', /Line 2 is not two numbers: "0,1,2"/],
    ['slot,counts\r\n0,-\r\n', /Line 2 is not two numbers: "0,-"/],
    ['slot,counts\r\n0,0x10\r\n', /Line 2 is not two numbers/],
    ['slot,counts\r\n0,1\r\n\r\n', /Line 3 is not two numbers: ""/],
    ['slot,counts\r\n0,Infinity\r\n', /Line 2 is not two numbers/],
    [`slot,counts\r\n0,${'1'.repeat(41)}\r\n`, /Line 2 is not two numbers: "0,1111/],
    ['slot,counts\r\n0,\u0661\r\n', /Line 2 is not two numbers: "0,\uFFFD\uFFFD"/],
  ])('are refused with the line: %j', (csv, told) => {
    expect(() => read(csv)).toThrow(told);
  });

  it('are refused where there are more of them than the record has slots', () => {
    const feeds = `slot,counts\n${'\n'.repeat(1000)}`;
    expect(() => read(feeds, 'slot,counts', 3)).toThrow(
      'It has 1000 lines of numbers, and the record has 3 slots.',
    );
    expect(() => read(feeds, 'slot,counts', 1000)).toThrow('Line 2 is not two numbers: ""');
    expect(read('slot,counts\n0,1\n1,2\n2,3', 'slot,counts', 3)).toHaveLength(6);
  });
});

/** With the sign of zero, which String leaves out. */
function text(value: number): string {
  return Object.is(value, -0) ? '-0' : String(value);
}
