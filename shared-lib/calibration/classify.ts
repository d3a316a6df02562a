import { formatTorqueInBothUnits } from '../format-quantity.ts';
import type { SenseResult } from './result-model.ts';

/** In percent: of the deflection of the step, the zero of the greatest deflection, the uncertainty of the torque applied. */
interface ClassLimits {
  readonly name: number;
  readonly repeatability: number;
  readonly reproducibility: number;
  readonly interpolation: number;
  readonly zero: number;
  readonly reversibility: number;
  readonly appliedTorque: number;
}

/** EURAMET cg-14 and DIN 51309, FROM MEMORY: nobody here could read either. */
export const rememberedClassLimits: readonly ClassLimits[] = [
  limits(0.05, 0.025, 0.05, 0.025, 0.0125, 0.063, 0.01),
  limits(0.1, 0.05, 0.1, 0.05, 0.025, 0.125, 0.02),
  limits(0.2, 0.1, 0.2, 0.1, 0.05, 0.25, 0.04),
  limits(0.5, 0.25, 0.5, 0.25, 0.125, 0.63, 0.1),
  limits(1, 0.5, 1, 0.5, 0.25, 1.25, 0.2),
  limits(2, 1, 2, 1, 0.5, 2.5, 0.4),
  limits(5, 2.5, 5, 2.5, 1.25, 6.25, 1),
];

function limits(
  name: number,
  repeatability: number,
  reproducibility: number,
  interpolation: number,
  zero: number,
  reversibility: number,
  appliedTorque: number,
): ClassLimits {
  return { name, repeatability, reproducibility, interpolation, zero, reversibility, appliedTorque };
}

export interface ClassifiedStep {
  readonly torqueNm: number;
  readonly repeatabilityPercent: number | null;
  readonly reproducibilityPercent: number | null;
  readonly interpolationPercent: number;
  readonly reversibilityPercent: number | null;
  /** Relative expanded uncertainty of the torque that was applied. */
  readonly appliedTorquePercent: number;
}

/** A class has to hold from this share of the greatest torque down to be named (common practice, no source). */
const LOWEST_SHARE = 0.2;
const CLASS_MOUNTINGS = 3;
const CAVEAT = 'Class limits as remembered; check against your copy of the standard.';

/**
 * The smallest class whose limits all hold from a fifth of the greatest torque up, and the torque from which they do.
 * Without three mountings there is none.
 */
export function classify(
  steps: readonly ClassifiedStep[],
  zeroReturnPercent: number | null,
  mountings: number,
): SenseResult['classification'] {
  const none = (sentence: string, isFromMemory: boolean): SenseResult['classification'] => ({
    reached: null,
    fromNm: null,
    reason: { sentence, isFromMemory },
  });
  if (mountings < CLASS_MOUNTINGS) {
    return none(
      `No class: it takes ${CLASS_MOUNTINGS} mountings, and there ${mountings === 1 ? 'was 1' : `were ${mountings}`}.`,
      false,
    );
  }
  const greatestNm = Math.max(...steps.map(({ torqueNm }) => Math.abs(torqueNm)));
  for (const limit of rememberedClassLimits) {
    if (zeroReturnPercent === null || zeroReturnPercent > limit.zero) continue;
    const lastMiss = steps.findLastIndex((step) => !isWithin(step, limit));
    const from = steps[lastMiss + 1];
    if (from === undefined) continue;
    const isLowEnough = lastMiss === -1 || Math.abs(from.torqueNm) <= LOWEST_SHARE * greatestNm;
    if (!isLowEnough) continue;
    const fromNm = Math.abs(from.torqueNm);
    return {
      reached: limit.name,
      fromNm,
      reason: {
        sentence: `Class ${limit.name} from ${formatTorqueInBothUnits(fromNm, 1)} up. ${CAVEAT}`,
        isFromMemory: true,
      },
    };
  }
  return none(`No class: even the widest limits are not kept. ${CAVEAT}`, true);
}

function isWithin(step: ClassifiedStep, limit: ClassLimits): boolean {
  const keeps = (percent: number | null, most: number): boolean =>
    percent !== null && Math.abs(percent) <= most;
  return (
    keeps(step.repeatabilityPercent, limit.repeatability) &&
    keeps(step.reproducibilityPercent, limit.reproducibility) &&
    keeps(step.interpolationPercent, limit.interpolation) &&
    keeps(step.reversibilityPercent, limit.reversibility) &&
    keeps(step.appliedTorquePercent, limit.appliedTorque)
  );
}
