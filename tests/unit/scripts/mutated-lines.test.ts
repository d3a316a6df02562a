import { describe, expect, it } from 'vitest';
import { isRefutedByChecksum } from '../../../scripts/faults/checksum-oracle.ts';
import { mutateLine } from '../../../scripts/faults/mutate-line.ts';
import { createSeededRandom } from '../../../shared-lib/simulation/seeded-random.ts';

describe('the checksum oracle', () => {
  // Published sentence of a GNSS receiver, widely quoted for the NMEA 0183 checksum rule (from memory); the second is
  // the worked sentence of the profile with a checksum.
  it.each(['$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47', '$1042,13025000,-123456*28'])(
    'lets %s pass, and refutes it with any digit changed',
    (sentence) => {
      expect(isRefutedByChecksum(sentence)).toBe(false);
      for (const [at, character] of Array.from(sentence).entries()) {
        if (!/\d/.test(character)) continue;
        const changed = sentence.slice(0, at) + String((Number(character) + 1) % 10) + sentence.slice(at + 1);
        expect(isRefutedByChecksum(changed), changed).toBe(true);
      }
    },
  );
});

describe('mutated lines', () => {
  it('are the same for the same seed, and seldom what they were', () => {
    const line = '$1042,13025000,-123456*28';
    const lines = (): string[] => {
      const random = createSeededRandom(1, 7);
      return Array.from({ length: 2000 }, () => mutateLine(line, random));
    };
    expect(lines()).toEqual(lines());
    expect(lines().filter((mutated) => mutated === line).length).toBeLessThan(200);
  });
});
