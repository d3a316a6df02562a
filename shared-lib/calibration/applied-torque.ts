import { AppError } from '../app-error.ts';
import { airDensityFrom } from './air-density.ts';
import { deadWeightTorqueNm } from './dead-weight-torque.ts';
import { gravityMps2From } from './gravity.ts';
import type { BudgetTerm } from './result-model.ts';
import type { RunWay } from './run-model.ts';
import type { Arm, Site, Weight } from './standards-model.ts';
import {
  massUncertaintyKg,
  rectangular,
  type StandardUncertainty,
  standardUncertaintyOf,
} from './weight-limits.ts';

export interface AppliedLoad {
  readonly weights: readonly Weight[];
  readonly arm: Arm;
  readonly site: Site;
  readonly way: RunWay;
}

export interface AppliedTorque {
  /** Positive. */
  readonly torqueNm: number;
  readonly gravityMps2: number;
  readonly airDensityKgM3: number;
  /** The same in every repeat, so that no repeat averages them down. */
  readonly terms: BudgetTerm[];
}

export const ARM_LENGTH = 'Length of the arm';
/** What is known of normal gravity from latitude and height (from memory). */
export const NORMAL_GRAVITY_LIMIT_MPS2 = 1e-4;
const RADIANS_PER_DEGREE = Math.PI / 180;
/** Standard deviation of theta^2 / 2 for theta uniform within +-a: a^2 sqrt(1/20 - 1/36) = 0.149 a^2. */
const COSINE_SECOND_ORDER = Math.sqrt(1 / 20 - 1 / 36);

/**
 * Torque of weights on an arm and what it is uncertain by.
 *
 * T = sum(m_c) g (1 - 1.2/8000) (1 - rho_a/rho_m) / (1 - 1.2/rho_m) L cos(theta), plus the arm's own moment where the zero is
 * not taken with it. The arm lies within +-a of its angle: on average that makes the cosine smaller by a^2/6, which is
 * taken off, and scatters it by 0.149 a^2 even at the horizontal, where the first derivative is zero. On a load cell there
 * is no arm under the weights: the length is that of the reaction arm, and there is no cosine.
 *
 * The limits of stacked weights add linearly: weights of one set share their errors.
 * Errors: AppError 'input-out-of-range' from gravity, masses and lengths, and for a weight whose class has no such mass.
 * Source: dead-weight-torque.ts; tests/fixtures/reference-values/deadweight-torque.json.
 */
export function appliedTorque(load: AppliedLoad): AppliedTorque {
  const { weights, arm, site, way } = load;
  const isOnArm = way !== 'loadCell';
  const gravityMps2 = gravityMps2From(site.gravity);
  const air = airDensityFrom(site.air);
  const torqueNm = torqueIn(load, gravityMps2, air.densityKgM3);
  // The arm's own moment hangs on neither the mass of the weights nor the length to their hook.
  const weightsNm =
    arm.own === null
      ? torqueNm
      : torqueIn({ ...load, arm: { ...arm, own: null } }, gravityMps2, air.densityKgM3);
  const massKg = weights.reduce((sum, weight) => sum + weight.massKg, 0);
  const airStep = 1e-3;
  const airSensitivity = (torqueIn(load, gravityMps2, air.densityKgM3 + airStep) - torqueNm) / airStep;

  const gravityUncertainty =
    site.gravityUncertaintyMps2 === null
      ? rectangular(NORMAL_GRAVITY_LIMIT_MPS2)
      : standardUncertaintyOf(site.gravityUncertaintyMps2);
  const terms = [
    common('Mass of the weights', massSet(weights), 'kg', weightsNm / massKg),
    common(
      isOnArm ? ARM_LENGTH : 'Length of the reaction arm',
      standardUncertaintyOf(arm.lengthUncertaintyM),
      'm',
      weightsNm / arm.lengthM,
    ),
    common('Gravity', gravityUncertainty, 'm/s²', torqueNm / gravityMps2),
    common('Air buoyancy', air.uncertaintyKgM3, 'kg/m³', airSensitivity),
    ...(isOnArm ? angleTerms(arm, torqueNm) : []),
  ];
  return { torqueNm, gravityMps2, airDensityKgM3: air.densityKgM3, terms };
}

/** Torque alone, which no tolerance hangs on. In N m; errors: AppError 'input-out-of-range' from gravity, masses and lengths. */
export function appliedTorqueNm(load: AppliedLoad): number {
  return torqueIn(load, gravityMps2From(load.site.gravity), airDensityFrom(load.site.air).densityKgM3);
}

function torqueIn({ weights, arm, way }: AppliedLoad, gravityMps2: number, airDensityKgM3: number): number {
  const isOnArm = way !== 'loadCell';
  const torqueNm = weights.reduce(
    (sum, { massKg, densityKgM3 }, index) =>
      sum +
      deadWeightTorqueNm({
        massKg,
        materialDensityKgM3: densityKgM3,
        armLengthM: arm.lengthM,
        armAngleDeg: isOnArm ? arm.angleDeg : 0,
        gravityMps2,
        airDensityKgM3,
        ...(index === 0 && isOnArm && arm.own !== null ? { arm: arm.own } : {}),
      }),
    0,
  );
  return isOnArm ? torqueNm * (1 - (arm.angleLimitDeg * RADIANS_PER_DEGREE) ** 2 / 6) : torqueNm;
}

function massSet(weights: readonly Weight[]): StandardUncertainty {
  const each = weights.map((weight) => {
    const uncertainty = massUncertaintyKg(weight);
    if (uncertainty !== null) return uncertainty;
    throw new AppError(
      'input-out-of-range',
      `“${weight.name}” has a class, but R 111 has no nominal mass of ${weight.massKg} kg. Give it a tolerance of its own.`,
      { weight: weight.name },
    );
  });
  const standard = each.reduce((sum, uncertainty) => sum + uncertainty.standard, 0);
  const [first] = each;
  const isAlike = each.every(
    ({ divisor, distribution }) => divisor === first?.divisor && distribution === first.distribution,
  );
  if (first !== undefined && isAlike) {
    return { ...first, value: each.reduce((sum, { value }) => sum + value, 0), standard };
  }
  return { value: standard, divisor: 1, distribution: 'normal', standard };
}

/** Of the angle of the arm: none where no limit is stated. */
export function angleTerms(arm: Arm, torqueNm: number): BudgetTerm[] {
  const angleRad = arm.angleDeg * RADIANS_PER_DEGREE;
  const limitRad = arm.angleLimitDeg * RADIANS_PER_DEGREE;
  if (limitRad === 0) return [];
  const second = common(
    'Angle of the arm, second order',
    {
      value: limitRad ** 2,
      divisor: 1 / COSINE_SECOND_ORDER,
      distribution: 'cosine',
      standard: COSINE_SECOND_ORDER * limitRad ** 2,
    },
    'rad²',
    torqueNm,
  );
  if (angleRad === 0) return [second];
  return [common('Angle of the arm', rectangular(limitRad), 'rad', torqueNm * Math.tan(angleRad)), second];
}

type Spread = Omit<StandardUncertainty, 'distribution'> & Pick<BudgetTerm, 'distribution'>;

function common(source: string, of: Spread, unit: string, sensitivity: number): BudgetTerm {
  const magnitude = Math.abs(sensitivity);
  return {
    source,
    kind: 'common',
    time: 'calibration',
    evaluation: 'B',
    distribution: of.distribution,
    value: of.value,
    unit,
    divisor: of.divisor,
    sensitivity: magnitude,
    standardUncertaintyNm: magnitude * of.standard,
    degreesOfFreedom: null,
  };
}
