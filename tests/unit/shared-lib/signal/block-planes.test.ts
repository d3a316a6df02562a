import { brotliCompressSync } from 'node:zlib';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AppError } from '../../../../shared-lib/app-error.ts';
import { decodePlanes, encodePlanes } from '../../../../shared-lib/signal/block-planes.ts';

const int32 = fc.oneof(
  fc.integer({ min: -(2 ** 31), max: 2 ** 31 - 1 }),
  fc.constantFrom(-(2 ** 31), 2 ** 31 - 1, -1, 0, 1),
);

describe('block planes', () => {
  it('give back every sequence of 32-bit counts, also where differences wrap', () => {
    fc.assert(
      fc.property(fc.array(int32, { maxLength: 200 }), (values) => {
        const counts = Int32Array.from(values);
        expect(decodePlanes(encodePlanes(counts), counts.length)).toEqual(counts);
      }),
    );
  });

  it('have the documented layout', () => {
    // Differences 5, -1, 0, 256; folded 10, 1, 0, 512 (0x200).
    expect([...encodePlanes(Int32Array.of(5, 4, 4, 260))]).toEqual([
      10, 1, 0, 0, 0, 0, 0, 2, 0, 0, 0, 0, 0, 0, 0, 0,
    ]);
  });

  it('leave little over the entropy of the noise to a general compressor', () => {
    // White noise of s = 59 counts on a slow curve. Its own entropy is log2(59 sqrt(2 pi e)) / 8 = 0.99 bytes a sample,
    // that of its differences (s = 83) 1.05; a quarter byte is left for the compressor.
    let state = 1;
    const uniform = (): number => (state = (state * 48_271) % 2_147_483_647) / 2_147_483_647;
    const noise = (): number => 59 * (Array.from({ length: 12 }, uniform).reduce((sum, u) => sum + u) - 6);
    const counts = Int32Array.from({ length: 20_000 }, (_, i) => Math.round(20 * i + noise()));
    expect(brotliCompressSync(encodePlanes(counts)).length / counts.length).toBeLessThan(1.3);
  });

  it.each([
    [15, 4],
    [17, 4],
    [4, 0],
    [0, 1],
    [4, -1],
  ])('refuse %d bytes for %d samples', (byteLength, count) => {
    expect(() => decodePlanes(new Uint8Array(byteLength), count)).toThrow(
      expect.objectContaining({ code: 'block-corrupt' }) as AppError,
    );
  });
});
