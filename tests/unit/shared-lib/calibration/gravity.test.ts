import { describe, expect, it } from 'vitest';
import { gravityMps2From, normalGravityMps2 } from '../../../../shared-lib/calibration/gravity.ts';
import reference from '../../../fixtures/reference-values/gravity.json' with { type: 'json' };

/** Sources and status of the values stand in the fixture. */
describe('normalGravityMps2', () => {
  it.each(reference.published)(
    'agrees with the published $gravityMps2 m/s2 at $latitudeDeg deg',
    ({ latitudeDeg, heightM, gravityMps2, toleranceMps2 }) => {
      expect(Math.abs(normalGravityMps2(latitudeDeg, heightM) - gravityMps2)).toBeLessThanOrEqual(
        toleranceMps2,
      );
    },
  );

  it.each(reference.checkPoints)(
    'agrees with $gravityMps2 m/s2 at $latitudeDeg deg and $heightM m',
    ({ latitudeDeg, heightM, gravityMps2 }) => {
      // Printed to nine decimals, so one unit of the last.
      expect(Math.abs(normalGravityMps2(latitudeDeg, heightM) - gravityMps2)).toBeLessThanOrEqual(1e-9);
    },
  );

  it('is not the GRS80 value that many pages print as WGS84', () => {
    expect(Math.abs(normalGravityMps2(45, 0) - reference.trap.gravityMps2)).toBeGreaterThan(1e-6);
  });

  it('is the same north and south', () => {
    expect(normalGravityMps2(-52.5, 80)).toBe(normalGravityMps2(52.5, 80));
  });

  it.each([
    [90.1, 0],
    [-91, 0],
    [Number.NaN, 0],
    [45, 9001],
    [45, -501],
    [45, Number.NaN],
  ])('refuses latitude %d and height %d', (latitudeDeg, heightM) => {
    expect(() => normalGravityMps2(latitudeDeg, heightM)).toThrow(
      expect.objectContaining({ code: 'input-out-of-range' }) as Error,
    );
  });
});

describe('gravityMps2From', () => {
  it('takes what was entered, or computes it from the location', () => {
    expect(gravityMps2From({ source: 'entered', gravityMps2: 9.8126 })).toBe(9.8126);
    expect(gravityMps2From({ source: 'location', latitudeDeg: 52.5, heightM: 80 })).toBe(
      normalGravityMps2(52.5, 80),
    );
  });
});
