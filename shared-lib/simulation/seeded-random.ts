import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import type { RandomGenerator } from 'pure-rand/types/RandomGenerator';
import { skipN } from 'pure-rand/utils/skipN';

export interface SeededRandom {
  /** What both are made of, for whoever draws millions and pays for each call. */
  readonly generator: RandomGenerator;
  /** Uniform in [0, 1). */
  uniform(): number;
  /** Standard normal. */
  gaussian(): number;
}

/** Spreads neighbouring seeds over all 32 bits (the finaliser of MurmurHash3, from memory). */
function mix(value: number): number {
  let bits = value | 0;
  bits = Math.imul(bits ^ (bits >>> 16), 0x85ebca6b);
  bits = Math.imul(bits ^ (bits >>> 13), 0xc2b2ae35);
  return bits ^ (bits >>> 16);
}

/**
 * A source of chance that the seed fixes. Streams of one seed are independent of each other, so that drawing more
 * from one does not move the others.
 */
export function createSeededRandom(seed: number, stream: number): SeededRandom {
  const generator = xoroshiro128plus(mix(mix(seed) + stream));
  // The first outputs of neighbouring states resemble each other.
  skipN(generator, 64);

  let spare: number | null = null;
  return {
    generator,
    uniform: () => uniformFloat64(generator),
    // Box and Muller's transform: each pair of uniform draws gives two normal ones.
    gaussian() {
      if (spare !== null) {
        const value = spare;
        spare = null;
        return value;
      }
      // Noise is drawn for every sample: 32 bits are plenty for it. The half keeps the logarithm finite.
      const radius = Math.sqrt(-2 * Math.log(((generator.next() >>> 0) + 0.5) / 0x1_0000_0000));
      const angle = (2 * Math.PI * (generator.next() >>> 0)) / 0x1_0000_0000;
      spare = radius * Math.sin(angle);
      return radius * Math.cos(angle);
    },
  };
}
