import { describe, expect, it } from 'vitest';
import { airDensityFrom, moistAirDensityKgM3 } from '../../../../shared-lib/calibration/air-density.ts';
import reference from '../../../fixtures/reference-values/air-density.json' with { type: 'json' };

/** Sources and status of the values stand in the fixture. */
describe('moistAirDensityKgM3', () => {
  it.each(reference.checkPoints)(
    'gives $approximationKgM3 kg/m3 at $temperatureC deg C, $pressureHpa hPa and $humidityPercent %',
    ({ approximationKgM3, ...air }) => {
      expect(Math.abs(moistAirDensityKgM3(air) - approximationKgM3)).toBeLessThan(5e-6);
    },
  );

  it.each(reference.checkPoints)(
    'lies within 2e-4 of CIPM-2007 at $temperatureC deg C and $pressureHpa hPa',
    ({ cipm2007KgM3, ...air }) => {
      expect(Math.abs(moistAirDensityKgM3(air) / cipm2007KgM3 - 1)).toBeLessThan(2e-4);
    },
  );

  it.each(reference.published)(
    'lies within 2e-4 of the published $publishedKgM3 kg/m3',
    ({ publishedKgM3, ...air }) => {
      expect(Math.abs(moistAirDensityKgM3(air) / publishedKgM3 - 1)).toBeLessThan(2e-4);
    },
  );
});

describe('the air of a place', () => {
  it('is 1.2 kg/m3 within a tenth where nothing is known of it', () => {
    const { densityKgM3, uncertaintyKgM3 } = airDensityFrom({ source: 'standard' });
    expect(densityKgM3).toBe(1.2);
    expect(uncertaintyKgM3.distribution).toBe('rectangular');
    expect(uncertaintyKgM3.standard).toBeCloseTo(0.12 / Math.sqrt(3), 12);
  });

  it('is as entered or as computed from what was measured, within a hundredth', () => {
    const entered = airDensityFrom({ source: 'entered', densityKgM3: 1.02 });
    expect(entered.densityKgM3).toBe(1.02);
    expect(entered.uncertaintyKgM3.standard).toBeCloseTo(0.0102 / Math.sqrt(3), 12);
    const measured = { temperatureC: 20, pressureHpa: 1013.25, humidityPercent: 50 };
    const { densityKgM3, uncertaintyKgM3 } = airDensityFrom({ source: 'measured', ...measured });
    expect(densityKgM3).toBe(moistAirDensityKgM3(measured));
    expect(uncertaintyKgM3.value).toBeCloseTo(0.01 * densityKgM3, 12);
  });

  it('lies within a tenth of 1.2 kg/m3 at sea level from 5 to 35 deg C, and at 20 deg C up to 800 m', () => {
    // Pressures of the standard atmosphere at 0 and 800 m, 1013.25 and 920.8 hPa (from memory).
    for (const [temperatureC, pressureHpa] of [
      [5, 1013.25],
      [35, 1013.25],
      [20, 920.8],
    ] as const) {
      const densityKgM3 = moistAirDensityKgM3({ temperatureC, pressureHpa, humidityPercent: 50 });
      expect(Math.abs(densityKgM3 / 1.2 - 1)).toBeLessThan(0.1);
    }
  });
});
