import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createPairReader, UnreadableLine } from '../../../../shared-lib/package/pair-reader.ts';
import { writeCountsCsv } from '../../../../shared-lib/tables/write-counts-csv.ts';

const HEADER = 'slot,counts\r\n';

function read(text: string, cuts: readonly number[] = []): [number, number][] {
  const bytes = new TextEncoder().encode(text);
  const pairs: [number, number][] = [];
  const reader = createPairReader(HEADER, (first, second) => pairs.push([first, second]));
  const ends = [...cuts.map((cut) => cut % (bytes.length + 1)), bytes.length].toSorted((a, b) => a - b);
  let start = 0;
  for (const end of ends) {
    reader.push(bytes.subarray(start, end));
    start = end;
  }
  reader.end();
  return pairs;
}

function problemOf(text: string): UnreadableLine {
  try {
    read(text);
  } catch (error) {
    if (error instanceof UnreadableLine) return error;
    throw error;
  }
  throw new Error('It was read');
}

describe('lines of two whole numbers', () => {
  it('read back what the writer of counts wrote, however the bytes are cut', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -(2 ** 31), max: 2 ** 31 - 1 })),
        fc.array(fc.nat()),
        (counts, cuts) => {
          const csv = new TextDecoder().decode(writeCountsCsv(Int32Array.from(counts), []));
          expect(read(HEADER + csv, cuts)).toEqual(counts.map((count, slot) => [slot, count]));
        },
      ),
    );
  });

  it('may be none, and may have fifteen digits', () => {
    expect(read(HEADER)).toEqual([]);
    expect(read(`${HEADER}0,-999999999999999\r\n`)).toEqual([[0, -999_999_999_999_999]]);
  });

  it.each([
    ['another header', 'slot;counts\r\n0,1\r\n', 1],
    ['no header', '', 1],
    ['a header that is cut off', 'slot,cou', 1],
    ['a point', `${HEADER}0,1.5\r\n`, 2],
    ['a plus sign', `${HEADER}0,+1\r\n`, 2],
    ['a blank', `${HEADER}0, 1\r\n`, 2],
    ['a zero in front', `${HEADER}0,01\r\n`, 2],
    ['a zero with a sign', `${HEADER}0,-0\r\n`, 2],
    ['two signs', `${HEADER}0,--1\r\n`, 2],
    ['a sign behind a digit', `${HEADER}0,1-\r\n`, 2],
    ['sixteen digits', `${HEADER}0,1234567890123456\r\n`, 2],
    ['a third number', `${HEADER}0,1\r\n1,2,3\r\n`, 3],
    ['one number', `${HEADER}0,1\r\n1\r\n`, 3],
    ['nothing before the comma', `${HEADER},1\r\n`, 2],
    ['nothing behind it', `${HEADER}0,\r\n`, 2],
    ['an empty line', `${HEADER}0,1\r\n\r\n`, 3],
    ['an end of a line without CR', `${HEADER}0,1\n`, 2],
    ['an end of a line without LF', `${HEADER}0,1\r1,1\r\n`, 2],
    ['an end within a line', `${HEADER}0,1\r\n1,`, 3],
    ['a quotation mark', `${HEADER}"0",1\r\n`, 2],
  ])('are refused with their number where there is %s', (_, text, line) => {
    expect(problemOf(text).line).toBe(line);
  });
});
