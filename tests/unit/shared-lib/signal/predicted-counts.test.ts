import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createBitWriter, MOST_ONES } from '../../../../shared-lib/signal/bit-stream.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';
import { decodePredicted, encodePredicted } from '../../../../shared-lib/signal/predicted-counts.ts';

const FRAME = 8192;
const extreme = fc.oneof(
  fc.integer({ min: -(2 ** 31), max: 2 ** 31 - 1 }),
  fc.integer({ min: -100, max: 100 }),
  fc.constantFrom(-(2 ** 31), 2 ** 31 - 1),
);

function roundTrip(counts: Int32Array): Int32Array {
  return decodePredicted(encodePredicted(counts), counts.length);
}

/** A rig that rings, struck every 40 samples. */
function ringing(length: number): Int32Array {
  return Int32Array.from(
    { length },
    (_, slot) => 500_000 + 90_000 * Math.exp(-(slot % 40) / 12) * Math.sin(0.9 * (slot % 40)),
  );
}

describe('counts that are foretold from those before them', () => {
  it('come back as they were, whatever they are', () => {
    fc.assert(
      fc.property(fc.array(extreme, { maxLength: 300 }), (values) => {
        const counts = Int32Array.from(values);
        expect(roundTrip(counts)).toEqual(counts);
      }),
    );
  });

  it.each([0, 1, 63, 64, 65, FRAME - 1, FRAME, FRAME + 1, 3 * FRAME + 7])(
    'come back over the edges of frames and parts: %d of them',
    (length) => {
      expect(roundTrip(ringing(length))).toEqual(ringing(length));
    },
  );

  it('come back where each step is the largest there is', () => {
    const counts = Int32Array.from({ length: 2 * FRAME }, (_, slot) =>
      slot % 2 === 0 ? 2 ** 31 - 1 : -(2 ** 31),
    );
    expect(roundTrip(counts)).toEqual(counts);
  });

  it('come back where a fault throws single ones far out of a quiet signal', () => {
    const counts = ringing(FRAME);
    for (const slot of [0, 1, 64, 4000, FRAME - 1]) counts[slot] = slot % 2 === 0 ? 2 ** 31 - 1 : -(2 ** 31);
    expect(roundTrip(counts)).toEqual(counts);
  });

  it('come back where the sums of a forecast are too large to be exact, in the order in which it was taken', () => {
    // 2^54 - 2 - 2^54, nearest sample first, is -2; the other way round, -2 is lost and so is the last sample.
    const writer = createBitWriter(64);
    writer.write(3, 6);
    for (const weight of [2 ** 24, 1, 2 ** 24]) writer.write(weight, 26);
    writer.write(0, 5);
    for (const left of [-(2 ** 30), -2, 2 ** 30 + 1056, 0]) {
      writer.write(2 ** MOST_ONES - 1, MOST_ONES);
      writer.write((left << 1) ^ (left >> 31), 32);
    }
    expect([...decodePredicted(writer.bytes(), 4)]).toEqual([-(2 ** 30), -2, 2 ** 30, -1]);
  });

  it('take little more than what is new in each sample, where the rig swings', () => {
    const random = createSeededRandom(4, 1);
    const counts = new Int32Array(4 * FRAME);
    for (let t = 2; t < counts.length; t += 1) {
      const foretold = 1.8 * (counts[t - 1] ?? 0) - 0.9 * (counts[t - 2] ?? 0);
      counts[t] = Math.round(foretold + 1000 * random.gaussian());
    }
    // The entropy rate of a normal autoregression is the entropy of what drives it (Kolmogorov): log2(s sqrt(2 pi e)) bits.
    const leastBytes = (counts.length / 8) * Math.log2(1000 * Math.sqrt(2 * Math.PI * Math.E));
    expect(encodePredicted(counts).length).toBeGreaterThan(leastBytes);
    expect(encodePredicted(counts).length).toBeLessThan(1.04 * leastBytes);
  });

  it('are refused where their bytes end too early', () => {
    const packed = encodePredicted(ringing(1000));
    for (const length of [0, 1, 100, packed.length - 1]) {
      expect(() => decodePredicted(packed.subarray(0, length), 1000)).toThrow(RangeError);
    }
  });
});
