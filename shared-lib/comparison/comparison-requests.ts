import { z } from 'zod';
import {
  claimCheckSchema,
  comparisonSchema,
  contenderSchema,
  fieldPlaceSchema,
  notComparableSchema,
  reachSchema,
  scatterSchema,
} from './comparison-model.ts';
import { comparedStepSchema, contenderKeySchema, trialMeasureSchema } from './trial-measure.ts';

/** The part of the contract that compares tools; api-contract.ts takes it in. */
const empty = z.strictObject({});
const id = z.string().min(1).max(64);
const marginPercent = z.number().min(0.1).max(100);

export const comparedPairSchema = z.strictObject({
  step: comparedStepSchema,
  a: contenderKeySchema,
  b: contenderKeySchema,
  /** Null: the newest session that both have; without one, the newest of each. */
  sessionIds: z.array(id).min(1).max(200).nullable(),
  /** Compares across rates, filters, rigs and definitions all the same, marked as not like for like. */
  isForced: z.boolean(),
});
export type ComparedPair = z.infer<typeof comparedPairSchema>;

/** Either is null. */
const outcome = <Result extends z.ZodType>(result: Result) =>
  z.strictObject({ result: result.nullable(), notComparable: notComparableSchema.nullable() });

export const comparisonRequests = {
  /** Everybody with ended trials that are not voided, the newest tested first, and by which steps. */
  listContenders: {
    params: empty,
    result: z.strictObject({
      contenders: z.array(
        contenderSchema.extend({
          lastTestedAt: z.string(),
          steps: z.array(
            z.strictObject({
              step: comparedStepSchema,
              keptCount: z.int(),
              sessionIds: z.array(id),
            }),
          ),
        }),
      ),
      sessions: z.array(z.strictObject({ id, startedAt: z.string(), operator: z.string() })),
    }),
  },
  /** A against B by one measure. */
  compare: {
    params: comparedPairSchema.extend({ measure: trialMeasureSchema }),
    result: outcome(comparisonSchema),
  },
  /** Time to each of some sixty torques, from the raw curves. Refused with 'invalid-state' beside a trial under way. */
  compareReach: { params: comparedPairSchema, result: outcome(reachSchema) },
  /** All contenders of a step; `sessionIds` null: all sessions. */
  compareField: {
    params: z.strictObject({
      step: comparedStepSchema,
      measure: trialMeasureSchema,
      sessionIds: z.array(id).min(1).max(200).nullable(),
      /** Contenders to be placed; null: all of the step. */
      keys: z.array(contenderKeySchema).min(2).max(200).nullable(),
    }),
    result: z.strictObject({
      places: z.array(fieldPlaceSchema),
      scatter: scatterSchema,
      /** Those that were left out, with the reason, and what else is to be known. */
      cautions: z.array(z.string()),
    }),
  },
  /** Each claim of a tool against its newest trials of the kind that can bear it out. */
  checkClaims: {
    params: z.strictObject({ toolId: id }),
    result: z.strictObject({ checks: z.array(claimCheckSchema) }),
  },
  /** The difference that matters, per figure; the default where none was chosen. Newest first. */
  listMargins: {
    params: empty,
    result: z.strictObject({
      defaultPercent: marginPercent,
      margins: z.array(
        z.strictObject({
          figure: z.string(),
          marginPercent,
          operator: z.string(),
          at: z.string(),
        }),
      ),
    }),
  },
  /** For sessions that begin after it; those before keep the margin that was fixed before them. */
  setMargin: {
    params: z.strictObject({
      figure: z.literal([
        'sustainedTorque',
        'finalTorque',
        'torqueAt',
        'timeTo90Percent',
        'timeToLevel',
        'stallTorque',
        'releasedPreload',
        'lastTorque',
      ]),
      marginPercent,
    }),
    result: empty,
  },
} as const satisfies Record<string, { params: z.ZodType; result: z.ZodType }>;
