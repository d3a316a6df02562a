import { z } from 'zod';
import { directionSchema } from '../trial/step-model.ts';

/** What a run comes to: a fit and its uncertainty for each sense, every choice with its reason. */
const reasoned = z.strictObject({ sentence: z.string(), isFromMemory: z.boolean() });

export const budgetTermSchema = z.strictObject({
  /** What varies, in a few words. */
  source: z.string(),
  /** Common terms are the same in all repeats: repeats never average them down and residuals never show them. */
  kind: z.literal(['common', 'independent']),
  /** `bench` terms count at bench time only. */
  time: z.literal(['calibration', 'bench']),
  evaluation: z.literal(['A', 'B']),
  distribution: z.literal(['normal', 't', 'rectangular', 'triangular', 'cosine']),
  /** Half-width or standard deviation as it was found, in the unit named. */
  value: z.number(),
  unit: z.string(),
  divisor: z.number(),
  /** N m of torque per unit of value. */
  sensitivity: z.number(),
  /** |sensitivity| value / divisor, in N m. */
  standardUncertaintyNm: z.number(),
  /** Null: infinitely many. */
  degreesOfFreedom: z.number().nullable(),
  /** Terms that rest on one estimate share its degrees of freedom, and are added before those are weighed. */
  estimate: z.string().optional(),
});
export type BudgetTerm = z.infer<typeof budgetTermSchema>;

export const combinedUncertaintySchema = z.strictObject({
  standardNm: z.number(),
  /** Welch-Satterthwaite; null: infinitely many. */
  effectiveDegreesOfFreedom: z.number().nullable(),
  /** t(nu_eff) for 95 %. */
  coverageFactor: z.number(),
  expandedNm: z.number(),
  /** Of the torque, in percent. */
  relativeExpandedPercent: z.number(),
});
export type CombinedUncertainty = z.infer<typeof combinedUncertaintySchema>;

export const stepResultSchema = z.strictObject({
  level: z.int().min(1),
  torqueNm: z.number(),
  /** Mean of the increasing series, zero taken off; has the sign of torque over counts. */
  meanDeflectionCounts: z.number(),
  fittedCounts: z.number(),
  /** Relative to the deflection of the step, in percent; null where the series do not tell. */
  interpolationPercent: z.number(),
  repeatabilityPercent: z.number().nullable(),
  reproducibilityPercent: z.number().nullable(),
  reversibilityPercent: z.number().nullable(),
  terms: z.array(budgetTermSchema),
  atCalibration: combinedUncertaintySchema,
  atBench: combinedUncertaintySchema,
});
export type StepResult = z.infer<typeof stepResultSchema>;

export const degreeCandidateSchema = z.strictObject({
  degree: z.int().min(1).max(3),
  residualStandardDeviationCounts: z.number(),
  lackOfFitP: z.number().nullable(),
  greatestInterpolationPercent: z.number(),
  isMonotone: z.boolean(),
});

export const senseResultSchema = z.strictObject({
  sense: directionSchema,
  degree: z.int().min(1).max(3),
  hasConstant: z.boolean(),
  /** Deflection in counts as powers of the signed torque in N m (reverse negative), ascending; constant only if it has one. */
  coefficients: z.array(z.number()),
  covariance: z.array(z.array(z.number())),
  residualStandardDeviationCounts: z.number(),
  degreesOfFreedom: z.int(),
  candidates: z.array(degreeCandidateSchema),
  degreeReason: z.string(),
  /** Why the operator took another degree or a constant; null: the rule's choice. */
  overrideReason: z.string().nullable(),
  steps: z.array(stepResultSchema).min(1),
  /** Largest zero after unloading, in percent of the greatest deflection. */
  zeroReturnPercent: z.number().nullable(),
  creepPercent: z.number().nullable(),
  bendingPercent: z.number().nullable(),
  /** The class reached from `fromNm` up, or why there is none. */
  classification: z.strictObject({
    reached: z.number().nullable(),
    fromNm: z.number().nullable(),
    reason: reasoned,
  }),
  /** ASTM lower limit, or why there is none. */
  lowerLimit: z.strictObject({
    lowerLimitFactorNm: z.number().nullable(),
    classANm: z.number().nullable(),
    classAANm: z.number().nullable(),
    reason: reasoned,
  }),
  validFromNm: z.number(),
  validToNm: z.number(),
});
export type SenseResult = z.infer<typeof senseResultSchema>;

export const calibrationResultSchema = z.strictObject({
  definitionVersion: z.int(),
  senses: z.array(senseResultSchema).min(1).max(2),
  gravityMps2: z.number(),
  airDensityKgM3: z.number(),
  /** `stop`: no calibration may come of it. `look`: it may, and this stands in the report. */
  findings: z.array(
    z.strictObject({
      code: z.string(),
      severity: z.literal(['stop', 'look', 'note']),
      sense: directionSchema.nullable(),
      sentence: z.string(),
    }),
  ),
  /** In plain language, for the head of the report. */
  summary: z.array(z.string()),
});
export type CalibrationResult = z.infer<typeof calibrationResultSchema>;
export type Finding = CalibrationResult['findings'][number];

/** What the operator asks for beside the rule, each with a reason. */
export const fitOverrideSchema = z.strictObject({
  sense: directionSchema,
  degree: z.int().min(1).max(3),
  hasConstant: z.boolean(),
  reason: z.string().trim().min(3).max(500),
});
export type FitOverride = z.infer<typeof fitOverrideSchema>;
