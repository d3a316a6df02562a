import { AppError } from '../app-error.ts';
import type { GravityInput } from './calibration-model.ts';

/** WGS84: equatorial gravity, Somigliana's constant, first eccentricity squared, and the ellipsoid itself. */
const EQUATORIAL_GRAVITY_MPS2 = 9.7803253359;
const SOMIGLIANA_CONSTANT = 0.00193185265241;
const ECCENTRICITY_SQUARED = 0.00669437999014;
const EQUATORIAL_RADIUS_M = 6_378_137;
const FLATTENING = 1 / 298.257223563;
/** Centrifugal acceleration at the equator over gravity there. */
const CENTRIFUGAL_RATIO = 0.00344978650684;

/**
 * WGS84 normal gravity at a geodetic latitude and a height above the ellipsoid, with the second-order height term.
 *
 * Limit: the true local value differs from it by some 1e-4 m/s2 (from memory), more in mountains.
 * Errors: AppError 'input-out-of-range' outside -90 to 90 deg and -500 to 9000 m.
 * Source: Somigliana's closed form and the height series of the WGS84 definition; checked against
 * tests/fixtures/reference-values/gravity.json.
 */
export function normalGravityMps2(latitudeDeg: number, heightM: number): number {
  if (!(Math.abs(latitudeDeg) <= 90)) {
    throw new AppError(
      'input-out-of-range',
      `A latitude lies between -90 and 90 degrees; ${latitudeDeg} does not. Gravity was not computed; correct the latitude.`,
    );
  }
  if (!(heightM >= -500 && heightM <= 9000)) {
    throw new AppError(
      'input-out-of-range',
      `Gravity is computed for heights from -500 to 9000 m; ${heightM} m is outside. Correct the height or enter gravity itself.`,
    );
  }
  const sinSquared = Math.sin((latitudeDeg * Math.PI) / 180) ** 2;
  const onEllipsoid =
    (EQUATORIAL_GRAVITY_MPS2 * (1 + SOMIGLIANA_CONSTANT * sinSquared)) /
    Math.sqrt(1 - ECCENTRICITY_SQUARED * sinSquared);
  const relativeHeight = heightM / EQUATORIAL_RADIUS_M;
  const slope = 1 + FLATTENING + CENTRIFUGAL_RATIO - 2 * FLATTENING * sinSquared;
  return onEllipsoid * (1 - 2 * slope * relativeHeight + 3 * relativeHeight ** 2);
}

/** Gravity as entered, or computed from the location. */
export function gravityMps2From(input: GravityInput): number {
  return input.source === 'entered' ? input.gravityMps2 : normalGravityMps2(input.latitudeDeg, input.heightM);
}
