import { z } from 'zod';

/**
 * A calibration version: how a deflection (counts minus zero) becomes torque. Never edited, only superseded.
 *
 * Each sense has its own gain. Both gains have the same sign: that of torque over counts. A sense that was not
 * calibrated is null; readings in it are shown with a mark, trials in it are refused.
 */
const uncertaintySchema = z.number().min(0).max(100).nullable();

export const calibrationSenseSchema = z.strictObject({
  gainNmPerCount: z.number().refine((gain) => gain !== 0, 'A gain of zero measures nothing.'),
  /** The highest torque that was applied; beyond it a reading is outside the calibrated range. */
  validToNm: z.number().positive(),
  /**
   * Where the fit is more than a line through the zero: deflection in counts = constant + c1 T + c2 T^2 + ..., T the signed
   * torque in N m (reverse negative), monotone over the calibrated range; `coefficients` from c1 on. The gain is then T over
   * deflection at the highest torque, and serves beyond it. Null: a straight line of the gain.
   */
  curve: z
    .strictObject({ constantCounts: z.number(), coefficients: z.array(z.number()).min(1).max(3) })
    .nullable()
    .default(null),
});
export type CalibrationSense = z.infer<typeof calibrationSenseSchema>;

const directSensePointSchema = z.strictObject({
  torqueNm: z.number().min(0.001).max(1e6),
  counts: z.int(),
});

/** Known torque at known counts, for instance from a certificate. */
export const directCalibrationInputSchema = z.strictObject({
  method: z.literal('direct'),
  zeroCounts: z.int(),
  forward: directSensePointSchema.nullable(),
  reverse: directSensePointSchema.nullable(),
});

export const gravityInputSchema = z.discriminatedUnion('source', [
  z.strictObject({ source: z.literal('entered'), gravityMps2: z.number().min(9.7).max(9.9) }),
  z.strictObject({
    source: z.literal('location'),
    latitudeDeg: z.number().min(-90).max(90),
    heightM: z.number().min(-500).max(9000),
  }),
]);
export type GravityInput = z.infer<typeof gravityInputSchema>;

/** One known weight on an arm; the zero is taken with the bare arm, so the arm's own moment is left out. */
export const oneWeightCalibrationInputSchema = z.strictObject({
  method: z.literal('oneWeight'),
  massKg: z.number().min(0.001).max(5000),
  materialDensityKgM3: z.number().min(500).max(25_000),
  armLengthM: z.number().min(0.001).max(20),
  armAngleDeg: z.number().min(-30).max(30),
  gravity: gravityInputSchema,
  airDensityKgM3: z.number().min(0.5).max(1.6),
  zeroCounts: z.int(),
  forwardCounts: z.int().nullable(),
  reverseCounts: z.int().nullable(),
});

/** The maker's rated output, tied to counts by the amplifier's shunt or its stated scale: a lower grade of evidence. */
export const ratedOutputCalibrationInputSchema = z.strictObject({
  method: z.literal('ratedOutput'),
  /** Output at capacity, as on the data sheet. */
  ratedOutputMvPerV: z.number().min(0.01).max(20),
  capacityNm: z.number().min(0.001).max(1e6),
  zeroCounts: z.int(),
  /** -1 where a clockwise load lowers the counts. */
  countsSign: z.literal([1, -1]),
  scale: z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('stated'), countsPerMvPerV: z.number().positive().max(1e9) }),
    /** One arm of four equal ones is shunted. */
    z.strictObject({
      kind: z.literal('shunt'),
      bridgeOhm: z.number().min(10).max(10_000),
      shuntOhm: z.number().min(100).max(10_000_000),
      shuntCounts: z.int(),
    }),
  ]),
});

export const calibrationInputSchema = z.discriminatedUnion('method', [
  directCalibrationInputSchema,
  oneWeightCalibrationInputSchema,
  ratedOutputCalibrationInputSchema,
]);
export type CalibrationInput = z.infer<typeof calibrationInputSchema>;

export const calibrationVersionSchema = z.strictObject({
  id: z.string(),
  transducerId: z.string(),
  /** The amplifier it was made with: it holds for the whole chain. Null: made without one, or before they were kept. */
  amplifierId: z.string().nullable(),
  label: z.string().min(1).max(120),
  /** The last three come from a guided run, the others from what was entered. */
  method: z.literal([
    'direct',
    'oneWeight',
    'ratedOutput',
    'simulated',
    'weightsOnArm',
    'loadCell',
    'oneWeightTwoArms',
  ]),
  /** The guided run behind it, with its readings and result; null: entered. */
  runId: z.string().nullable().default(null),
  /** The last day on which it holds, and the number of trials it holds for; null: no such limit. */
  validUntil: z.string().nullable().default(null),
  validForTrials: z.int().nullable().default(null),
  forward: calibrationSenseSchema.nullable(),
  reverse: calibrationSenseSchema.nullable(),
  /** Relative expanded uncertainty in percent as the user entered it; null: not stated. */
  enteredUncertaintyPercent: uncertaintySchema,
  input: calibrationInputSchema.nullable(),
  operator: z.string().max(80),
  note: z.string().max(500),
  createdAt: z.string(),
  supersededAt: z.string().nullable(),
  supersedeReason: z.string().nullable(),
});
export type CalibrationVersion = z.infer<typeof calibrationVersionSchema>;
