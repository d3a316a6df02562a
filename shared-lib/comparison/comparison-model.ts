import { z } from 'zod';
import { driftSchema, qualityGateSchema } from '../run-sheet/session-model.ts';
import { setupAsTestedSchema } from '../run-sheet/setup-model.ts';
import { comparedStepSchema, contenderKeySchema, trialMeasureSchema } from './trial-measure.ts';

/** What a comparison of two contenders says, and everything it rests on. The statistics: compare-two.ts. */
export const contenderSchema = z.strictObject({
  key: contenderKeySchema,
  /** "Hollin H5, pack 2". */
  label: z.string(),
  toolName: z.string(),
  /** Null: trials that name no tool of the list. */
  toolId: z.string().nullable(),
  setup: setupAsTestedSchema.nullable(),
  isSimulated: z.boolean(),
});
export type Contender = z.infer<typeof contenderSchema>;

/** A trial that could take part. */
export const comparedTrialSchema = z.strictObject({
  trialId: z.string(),
  contenderKey: contenderKeySchema,
  sessionId: z.string(),
  startedAt: z.string(),
  /** Of its run sheet; null: outside of one, 0: outside of its rounds. */
  round: z.int().nullable(),
  isReference: z.boolean(),
  /** In N·m or s; null: not reached, or the curve does not carry it. */
  value: z.number().nullable(),
  /** Null: it takes part. */
  leftOutBecause: z.string().nullable(),
});
export type ComparedTrial = z.infer<typeof comparedTrialSchema>;

export const sideSchema = z.strictObject({
  contender: contenderSchema,
  /** Trials that take part with a value, and those without one. */
  count: z.int(),
  noValueCount: z.int(),
  /** Geometric mean, and the standard deviation of ln(measure); null with too few. */
  mean: z.number().nullable(),
  scatter: z.number().nullable(),
  sessionCount: z.int(),
  doneRounds: z.int(),
  /** As the plan fixed them beforehand; null: nothing did. */
  plannedRounds: z.int().nullable(),
});
export type Side = z.infer<typeof sideSchema>;

/** A ratio A / B with its interval. */
export const ratioSchema = z.strictObject({
  ratio: z.number(),
  low: z.number(),
  high: z.number(),
});
export type Ratio = z.infer<typeof ratioSchema>;

/**
 * Where the scatter comes from. `rounds`: two-way residual of complete rounds. `pooled`: within the setups of the same step and
 * bench. `welch`: each its own. `none`: there is nothing to take it from.
 */
export const scatterWaySchema = z.literal(['rounds', 'pooled', 'welch', 'none']);

export const scatterSchema = z.strictObject({
  way: scatterWaySchema,
  /** Standard deviation of ln(measure), one pull; null for `welch` and `none`. */
  standardDeviation: z.number().nullable(),
  degreesOfFreedom: z.number().nullable(),
  /** Whose trials it was taken from. */
  contenderCount: z.int(),
  /** Of `rounds`: the standard deviation between rounds and whether it stands out (F, p < 0.05). */
  roundEffect: z
    .strictObject({ standardDeviation: z.number(), f: z.number(), p: z.number(), isClear: z.boolean() })
    .nullable(),
  sentence: z.string(),
});
export type Scatter = z.infer<typeof scatterSchema>;

/** From day to day, as standard deviation of ln(measure). */
export const dayToDaySchema = z.strictObject({
  /** Null: not known. */
  standardDeviation: z.number().nullable(),
  degreesOfFreedom: z.number().nullable(),
  sentence: z.string(),
});
export type DayToDay = z.infer<typeof dayToDaySchema>;

/**
 * Of A against B; `better` is turned already, so `ahead` is always good for A. `level` has its 90 % interval within the margin.
 */
export const verdictSchema = z.literal([
  'needsMoreRuns',
  'aheadByMargin',
  'behindByMargin',
  'level',
  'ahead',
  'behind',
  'tooCloseToCall',
]);
export type Verdict = z.infer<typeof verdictSchema>;

export const checkpointSchema = z.strictObject({
  atS: z.number(),
  /** Null: too few runs have a torque there. */
  ratio: ratioSchema.nullable(),
  isClear: z.boolean(),
  /**
   * From day to day, of the torque there; null: not known. Left out where days cancel, and in comparisons of before, in which
   * checkpoints took that of the compared measure.
   */
  dayToDay: z
    .strictObject({ standardDeviation: z.number(), degreesOfFreedom: z.number() })
    .nullable()
    .optional(),
});
export type Checkpoint = z.infer<typeof checkpointSchema>;

export const comparisonSchema = z.strictObject({
  measure: trialMeasureSchema,
  step: comparedStepSchema,
  better: z.literal(['more', 'less']),
  marginPercent: z.number(),
  gate: qualityGateSchema,
  a: sideSchema,
  b: sideSchema,
  verdict: verdictSchema,
  /** Before the planned number of rounds is reached. */
  isProvisional: z.boolean(),
  /** An answer for a person: who is ahead, by how much, with the interval. */
  sentence: z.string(),
  /** What is to be known beside it: across sessions, one block, static calibration, not like for like. */
  cautions: z.array(z.string()),
  isLikeForLike: z.boolean(),
  isAcrossSessions: z.boolean(),
  /** 0.95, or 0.975 where the plan allows an early look. */
  confidence: z.number(),
  ratio: ratioSchema.nullable(),
  /** The interval that has to lie within the margin for `level`: 90 %, or 95 % with an early look. */
  levelInterval: ratioSchema.nullable(),
  /** mean of A minus mean of B with the interval of the ratio, in the unit of the measure. */
  difference: z.strictObject({ value: z.number(), low: z.number(), high: z.number() }).nullable(),
  standardErrorLn: z.number().nullable(),
  degreesOfFreedom: z.number().nullable(),
  scatter: scatterSchema,
  dayToDay: dayToDaySchema.nullable(),
  /** Hedges' g; only with at least five runs each. */
  effectSize: z.number().nullable(),
  /** Two-sided, of the difference of means of ln(measure); only with at least four runs each, not across sessions or calibrations. */
  permutationP: z.number().nullable(),
  /** From the power at the margin, never from the observed difference; null: more than can be planned. */
  roundsToDecide: z.strictObject({ rounds: z.int().nullable(), sentence: z.string() }).nullable(),
  checkpoints: z.array(checkpointSchema),
  /** From this checkpoint on all intervals leave out 1; null: none. */
  leadStartsAtS: z.number().nullable(),
  /** Of the sessions that were taken, where one had a reference tool. */
  referenceDrift: z.array(z.strictObject({ sessionId: z.string(), drift: driftSchema })),
  /** In the order in which they were pulled; also the other setups' of the same step that the scatter was taken from. */
  trials: z.array(comparedTrialSchema),
  /** Labels of those others. */
  others: z.array(contenderSchema),
});
export type Comparison = z.infer<typeof comparisonSchema>;

/** Why two cannot be compared, in sentences, such as "100 Sa/s against 1000 Sa/s". */
export const notComparableSchema = z.strictObject({ reasons: z.array(z.string()).min(1) });
export type NotComparable = z.infer<typeof notComparableSchema>;

/** All contenders of a step by one measure: each with the places it could have. */
export const fieldPlaceSchema = z.strictObject({
  contender: contenderSchema,
  count: z.int(),
  mean: z.number(),
  /** Standard competition ranking: 1, 2, 2, 4. */
  place: z.int(),
  /** 1 + those significantly better, K - those significantly worse; null: too little is known of the scatter. */
  bestPlace: z.int().nullable(),
  worstPlace: z.int().nullable(),
  /** Keys. */
  notSeparatedFrom: z.array(contenderKeySchema),
});
export type FieldPlace = z.infer<typeof fieldPlaceSchema>;

/** Who reaches a torque first, over the range that both can be asked about. */
export const reachSchema = z.strictObject({
  levels: z.array(
    z.strictObject({
      levelNm: z.number(),
      /** Runs that reached it, of all. */
      aReached: z.int(),
      bReached: z.int(),
      aMeanS: z.number().nullable(),
      bMeanS: z.number().nullable(),
      /** Time of A over time of B; null where either has fewer than two times. */
      ratio: ratioSchema.nullable(),
      first: z.literal(['a', 'b']).nullable(),
    }),
  ),
  aCount: z.int(),
  bCount: z.int(),
  /** Stretches of levels with one answer, in words. */
  sentences: z.array(z.string()),
});
export type Reach = z.infer<typeof reachSchema>;

export const claimVerdictSchema = z.literal([
  'reached',
  'notReached',
  'cannotTell',
  'notComparable',
  'noTrials',
]);

export const claimCheckSchema = z.strictObject({
  claimId: z.string(),
  kind: z.literal(['fastening', 'breakaway']),
  claimedNm: z.number(),
  source: z.string(),
  statedOn: z.string().nullable(),
  contender: contenderSchema.nullable(),
  step: comparedStepSchema.nullable(),
  verdict: claimVerdictSchema,
  count: z.int(),
  meanNm: z.number().nullable(),
  /** Standard uncertainties that went in. */
  scatterNm: z.number().nullable(),
  calibrationNm: z.number().nullable(),
  degreesOfFreedom: z.number().nullable(),
  /** One-sided, 95 % each. */
  lowerBoundNm: z.number().nullable(),
  upperBoundNm: z.number().nullable(),
  sentence: z.string(),
  cautions: z.array(z.string()),
  trialIds: z.array(z.string()),
});
export type ClaimCheck = z.infer<typeof claimCheckSchema>;
