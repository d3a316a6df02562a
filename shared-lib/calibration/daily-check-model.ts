import { z } from 'zod';
import { directionSchema } from '../trial/step-model.ts';
import { calibrationResultSchema } from './result-model.ts';
import { armSchema, siteSchema, weightSchema } from './standards-model.ts';

/** The two-minute check that the bench still reads right: a zero, then a check weight or the amplifier's shunt. */
export const checkMeansSchema = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('weight'),
    sense: directionSchema,
    weights: z.array(weightSchema).min(1).max(20),
    arm: armSchema,
    site: siteSchema,
  }),
  /**
   * Its reference is the first shunt reading under the calibration, or the newest that was taken as a new one with a reason;
   * it checks bridge and amplifier, not the arm.
   */
  z.strictObject({ kind: z.literal('shunt') }),
]);
export type CheckMeans = z.infer<typeof checkMeansSchema>;

export const dailyCheckSchema = z.strictObject({
  id: z.int(),
  transducerId: z.string(),
  calibrationId: z.string(),
  at: z.string(),
  operator: z.string(),
  means: checkMeansSchema,
  zeroCounts: z.number(),
  readingCounts: z.number(),
  referenceNm: z.number(),
  readingNm: z.number(),
  /** Reading minus reference. */
  errorNm: z.number(),
  /** The error may be so large: joint expanded uncertainty of calibration and check, or the fixed acceptance limit. */
  limitNm: z.number().nullable(),
  verdict: z.literal(['passed', 'failed', 'reference']),
  /**
   * Every rule that was applied, with its figures; the failed ones first. Then what is to be looked at and no rule judges, by
   * the code of its finding, and of a new reference the reason in its operator's words. `CHECK_RULES` tells them apart.
   */
  reasons: z.array(z.strictObject({ rule: z.string(), isBroken: z.boolean(), sentence: z.string() })),
});
export type DailyCheck = z.infer<typeof dailyCheckSchema>;

/** What a check will load the bench with, before anything is hung. */
export const checkLoadSchema = z.strictObject({
  /** `loadCell`: the weights hang from the hanger, without an arm. */
  way: z.literal(['weightsOnArm', 'loadCell']),
  /** Null for a shunt, which loads nothing. */
  torqueNm: z.number().nullable(),
  /** `stop` is refused. */
  findings: calibrationResultSchema.shape.findings,
});
export type CheckLoad = z.infer<typeof checkLoadSchema>;

/** A failed check that no pass has followed, or under whose mark trials wait for a decision. */
export const openFailureSchema = z.strictObject({
  checkId: z.int(),
  failedAt: z.string(),
  /** Newest first; those that are decided on or voided wait for nobody. */
  trialIds: z.array(z.string()),
});
export type OpenFailure = z.infer<typeof openFailureSchema>;

export const controlChartSchema = z.strictObject({
  /** `individuals`: each error, centre +- 2.66 mean moving range. `ewma`: lambda 0.2, L 2.9. */
  kind: z.literal(['individuals', 'ewma']),
  unit: z.literal('percent'),
  centre: z.number(),
  points: z.array(
    z.strictObject({
      checkId: z.int(),
      at: z.string(),
      value: z.number(),
      lower: z.number(),
      upper: z.number(),
      isOutside: z.boolean(),
    }),
  ),
});
export type ControlChart = z.infer<typeof controlChartSchema>;

export const checkStateSchema = z.strictObject({
  /** `none`: never checked under this calibration. `due`: the last pass was not today. */
  state: z.literal(['noCalibration', 'none', 'due', 'passed', 'failed']),
  sentence: z.string(),
  lastPassedAt: z.string().nullable(),
  /** Of whatever verdict, under this calibration; so that a window knows that its list of them is out of date. */
  newestCheckId: z.int().nullable(),
  /** Trials under a mark that nobody has decided on yet. */
  suspectCount: z.int(),
});
export type CheckState = z.infer<typeof checkStateSchema>;

/** What a tap or a step shows of the rig: how it rings, and what rate and bandwidth can resolve. */
export const ringingSchema = z.strictObject({
  id: z.int(),
  transducerId: z.string(),
  at: z.string(),
  operator: z.string(),
  sampleRateHz: z.number(),
  /** Null where none stands out, or where the rate cannot tell it. */
  frequencyHz: z.number().nullable(),
  dampingRatio: z.number().nullable(),
  decayS: z.number().nullable(),
  /** What follows, in sentences: which measures are refused and why. */
  sentences: z.array(z.string()),
  refusedMeasures: z.array(z.string()),
  /** The recorded response about its peak, zero at rest: N m, and seconds from the tap. */
  timeS: z.array(z.number()),
  torqueNm: z.array(z.number()),
});
export type Ringing = z.infer<typeof ringingSchema>;
