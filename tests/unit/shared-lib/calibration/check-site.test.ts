import { describe, expect, it } from 'vitest';
import { standardAtmosphere } from '../../../../shared-lib/calibration/check-site.ts';

/** Source: tables of the international standard atmosphere (from memory). */
describe('the standard atmosphere', () => {
  it.each([
    [0, 1013.25, 1.225],
    [500, 954.6, 1.1673],
    [1000, 898.8, 1.1117],
    [2000, 795.0, 1.0066],
    [3000, 701.1, 0.9093],
  ])('has at %s m %s hPa and %s kg/m3', (heightM, pressureHpa, densityKgM3) => {
    const usual = standardAtmosphere(heightM);
    expect(usual.pressureHpa / pressureHpa).toBeCloseTo(1, 3);
    expect(usual.densityKgM3 / densityKgM3).toBeCloseTo(1, 3);
  });
});
