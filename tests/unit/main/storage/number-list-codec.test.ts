import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeNumbers, encodeNumbers } from '../../../../main/storage/number-list-codec.ts';

const wholeNumber = fc.oneof(
  fc.maxSafeInteger().filter((value) => Math.abs(value) < 2 ** 52),
  fc.integer({ min: -200, max: 200 }),
  fc.constantFrom(2 ** 52 - 1, 1 - 2 ** 52, 2 ** 31, -(2 ** 32)),
);

describe('a list of whole numbers in bytes', () => {
  it('comes back as it was', () => {
    fc.assert(
      fc.property(fc.array(wholeNumber), (values) => {
        expect(decodeNumbers(encodeNumbers(values))).toEqual(values);
      }),
    );
  });

  it('has the documented form', () => {
    // 300 becomes 600 by zigzag: 600 = 4 * 128 + 88, lowest seven bits first; -1 becomes 1.
    expect([...encodeNumbers([300, -1, 0])]).toEqual([88 + 128, 4, 1, 0]);
  });

  it.each([2 ** 52, -(2 ** 52), 0.5, Number.NaN, Number.POSITIVE_INFINITY])('refuses %d', (value) => {
    expect(() => encodeNumbers([value])).toThrow(RangeError);
  });

  it('refuses bytes that end within a number', () => {
    expect(() => decodeNumbers(Uint8Array.of(1, 128))).toThrow(RangeError);
  });
});
