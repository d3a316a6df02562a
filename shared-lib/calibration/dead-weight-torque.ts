import { AppError } from '../app-error.ts';

/** Conventions of conventional mass: air of 1.2 kg/m3 and a reference density of 8000 kg/m3, at 20 deg C. */
const CONVENTIONAL_AIR_DENSITY_KG_M3 = 1.2;
const CONVENTIONAL_MASS_DENSITY_KG_M3 = 8000;

export interface DeadWeight {
  /** Conventional mass: what a certificate and the marking of a weight state. */
  readonly massKg: number;
  readonly materialDensityKgM3: number;
  readonly armLengthM: number;
  /** From the horizontal. */
  readonly armAngleDeg: number;
  readonly gravityMps2: number;
  readonly airDensityKgM3: number;
  /** The arm itself, taken as true mass; left out where the zero is taken with the bare arm fitted. */
  readonly arm?: {
    readonly massKg: number;
    readonly densityKgM3: number;
    readonly centreOfMassM: number;
  };
}

/**
 * Torque in N m of a weight hanging on a lever arm, with air buoyancy.
 *
 * T = m_c g (1 - 1.2/8000) (1 - rho_a/rho_m) / (1 - 1.2/rho_m) L cos(theta), plus the arm's m g (1 - rho_a/rho) x cos(theta).
 * Errors: AppError 'input-out-of-range' for anything not positive, or an angle of 90 degrees or more.
 * Source: conventional mass as in the IUPAC Gold Book (09039); checked against
 * tests/fixtures/reference-values/deadweight-torque.json.
 */
export function deadWeightTorqueNm(weight: DeadWeight): number {
  requirePositive('mass', weight.massKg, 'kg');
  requirePositive('density of the weight', weight.materialDensityKgM3, 'kg/m³');
  requirePositive('arm length', weight.armLengthM, 'm');
  requirePositive('gravity', weight.gravityMps2, 'm/s²');
  requirePositive('air density', weight.airDensityKgM3, 'kg/m³');
  if (!(Math.abs(weight.armAngleDeg) < 90)) {
    throw new AppError(
      'input-out-of-range',
      `An arm at ${weight.armAngleDeg}° from the horizontal gives no torque to calibrate with. Set the arm level and correct the angle.`,
    );
  }
  const cosine = Math.cos((weight.armAngleDeg * Math.PI) / 180);
  const buoyancy =
    ((1 - CONVENTIONAL_AIR_DENSITY_KG_M3 / CONVENTIONAL_MASS_DENSITY_KG_M3) *
      (1 - weight.airDensityKgM3 / weight.materialDensityKgM3)) /
    (1 - CONVENTIONAL_AIR_DENSITY_KG_M3 / weight.materialDensityKgM3);
  const weightTorqueNm = weight.massKg * weight.gravityMps2 * buoyancy * weight.armLengthM * cosine;
  const { arm } = weight;
  if (arm === undefined) return weightTorqueNm;
  requirePositive('mass of the arm', arm.massKg, 'kg');
  requirePositive('density of the arm', arm.densityKgM3, 'kg/m³');
  const armForceN = arm.massKg * weight.gravityMps2 * (1 - weight.airDensityKgM3 / arm.densityKgM3);
  return weightTorqueNm + armForceN * arm.centreOfMassM * cosine;
}

function requirePositive(what: string, value: number, unit: string): void {
  if (value > 0 && Number.isFinite(value)) return;
  throw new AppError(
    'input-out-of-range',
    `The ${what} must be greater than 0 ${unit}; ${value} is not. No torque was computed; correct the entry.`,
  );
}
