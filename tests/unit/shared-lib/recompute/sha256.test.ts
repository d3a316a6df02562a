import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { sha256 } from '../../../../shared-lib/recompute/sha256.ts';
import { utf8Bytes } from '../../../../shared-lib/recompute/utf8.ts';

describe('the SHA-256 of a package', () => {
  // The examples of FIPS 180-2, appendix B (from memory), which the library of the next test agrees with.
  it.each([
    ['abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
    [
      'abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq',
      '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
    ],
    ['', 'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855'],
  ])('of "%s" is the published one', (text, digest) => {
    expect(sha256(utf8Bytes(text))).toBe(digest);
  });

  it('is that of Node for any bytes, also around the lengths at which another block is needed', () => {
    const expected = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');
    for (let length = 0; length < 200; length += 1) {
      const bytes = Uint8Array.from({ length }, (_, index) => (index * 37) % 256);
      expect(sha256(bytes)).toBe(expected(bytes));
    }
    fc.assert(fc.property(fc.uint8Array({ maxLength: 1000 }), (bytes) => sha256(bytes) === expected(bytes)));
    // A piece of a larger buffer, as files come.
    const piece = Buffer.from('..abc..').subarray(2, 5);
    expect(sha256(piece)).toBe(expected(piece));
  });
});

describe('a text as bytes', () => {
  it('is UTF-8 as Node has it, with pairs, and halves of pairs that stand alone', () => {
    const codeUnits = fc.array(fc.oneof(fc.nat({ max: 0xffff }), fc.integer({ min: 0xd800, max: 0xdfff })));
    fc.assert(
      fc.property(codeUnits, (units) => {
        const text = String.fromCharCode(...units);
        return Buffer.from(utf8Bytes(text)).equals(Buffer.from(text));
      }),
    );
    for (const text of ['N·m', '“demo”', '😀', 'a\ud800b', '\udc00']) {
      expect(Buffer.from(utf8Bytes(text))).toEqual(Buffer.from(text));
    }
  });
});
