import { AppError } from './app-error.ts';

/**
 * Units as types. SI inside the program; other units exist only in `format-quantity.ts` and in input fields.
 * This file is the only home of conversion factors, all exact by definition: 1 ft = 0.3048 m, 1 lb = 0.45359237 kg,
 * g_n = 9.80665 m/s2 (NIST SP 811, appendix B; checked against tests/fixtures/reference-values/units.json).
 */
declare const brand: unique symbol;
export type Brand<Name extends string> = number & { readonly [brand]: Name };

export type TorqueNm = Brand<'TorqueNm'>;
export type TorqueFtLbf = Brand<'TorqueFtLbf'>;
export type DurationS = Brand<'DurationS'>;
export type MassKg = Brand<'MassKg'>;
export type LengthM = Brand<'LengthM'>;
export type AngleRad = Brand<'AngleRad'>;

function finite(value: number, what: string): number {
  if (!Number.isFinite(value)) {
    throw new AppError('input-out-of-range', `${what} must be a finite number; ${value} is not.`);
  }
  return value;
}

export const torqueNm = (value: number): TorqueNm => finite(value, 'A torque in N·m') as TorqueNm;
export const torqueFtLbf = (value: number): TorqueFtLbf => finite(value, 'A torque in ft·lbf') as TorqueFtLbf;
export const durationS = (value: number): DurationS => finite(value, 'A time in s') as DurationS;
export const massKg = (value: number): MassKg => finite(value, 'A mass in kg') as MassKg;
export const lengthM = (value: number): LengthM => finite(value, 'A length in m') as LengthM;
export const angleRad = (value: number): AngleRad => finite(value, 'An angle in rad') as AngleRad;

export const METRES_PER_FOOT = 0.3048;
export const METRES_PER_INCH = 0.0254;
export const KILOGRAMS_PER_POUND = 0.45359237;
export const STANDARD_GRAVITY_MPS2 = 9.80665;
export const NEWTONS_PER_POUND_FORCE = 4.4482216152605;
export const NEWTON_METRES_PER_FOOT_POUND_FORCE = 1.3558179483314004;
export const NEWTON_METRES_PER_INCH_POUND_FORCE = 0.1129848290276167;
export const NEWTON_METRES_PER_KILOGRAM_FORCE_METRE = 9.80665;

export function ftLbfFromNm(torque: TorqueNm): TorqueFtLbf {
  return torqueFtLbf(torque / NEWTON_METRES_PER_FOOT_POUND_FORCE);
}

export function nmFromFtLbf(torque: TorqueFtLbf): TorqueNm {
  return torqueNm(torque * NEWTON_METRES_PER_FOOT_POUND_FORCE);
}
