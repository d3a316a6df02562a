import type { AirInput } from './standards-model.ts';
import { rectangular, type StandardUncertainty } from './weight-limits.ts';

export const STANDARD_AIR_KG_M3 = 1.2;
/** Ours: air lies within this of 1.2 kg/m3 at sea level from 5 to 35 deg C, and at 20 deg C up to some 800 m. */
export const STANDARD_AIR_LIMIT = 0.1;
/** Ours: of an entered or computed value, for the instruments behind it; buoyancy of steel is 0.00015, so it hardly counts. */
const KNOWN_AIR_LIMIT = 0.01;

export interface AirDensity {
  readonly densityKgM3: number;
  readonly uncertaintyKgM3: StandardUncertainty;
}

/** Air density of a place and how well it is known. */
export function airDensityFrom(air: AirInput): AirDensity {
  switch (air.source) {
    case 'standard':
      return known(STANDARD_AIR_KG_M3, STANDARD_AIR_LIMIT);
    case 'entered':
      return known(air.densityKgM3, KNOWN_AIR_LIMIT);
    case 'measured':
      return known(moistAirDensityKgM3(air), KNOWN_AIR_LIMIT);
  }
}

function known(densityKgM3: number, limit: number): AirDensity {
  return { densityKgM3, uncertaintyKgM3: rectangular(limit * densityKgM3) };
}

/**
 * Density of moist air from temperature (deg C), pressure (hPa) and relative humidity (%).
 *
 * Source: approximation of OIML R 111-1 annex E.3, from memory; within 2e-4 of CIPM-2007 between 10 and 30 deg C
 * (tests/fixtures/reference-values/air-density.json).
 */
export function moistAirDensityKgM3(air: {
  readonly temperatureC: number;
  readonly pressureHpa: number;
  readonly humidityPercent: number;
}): number {
  const { temperatureC, pressureHpa, humidityPercent } = air;
  return (
    (0.34848 * pressureHpa - 0.009 * humidityPercent * Math.exp(0.061 * temperatureC)) /
    (273.15 + temperatureC)
  );
}
