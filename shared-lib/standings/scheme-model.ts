import { z } from 'zod';
import { comparedStepSchema, contenderKeySchema, trialMeasureSchema } from '../comparison/trial-measure.ts';

/** Rules by which tools get points: terms as data, so that anybody can follow and recompute them. */
const id = z.string().min(1).max(64);

/** What of a tool, beside its trials, can be scored. Prices are those in force, in the currency of the table. */
export const toolPropertySchema = z.literal([
  'massBare',
  'massLoaded',
  'length',
  'priceBare',
  'priceKit',
  'declaredVibration',
  'declaredNoise',
  'handling',
  'fasteningClaim',
  'breakawayClaim',
]);
export type ToolProperty = z.infer<typeof toolPropertySchema>;

export const termMeasureSchema = z.discriminatedUnion('of', [
  /** Geometric mean over the trials that count. */
  z.strictObject({ of: z.literal('trial'), step: comparedStepSchema, measure: trialMeasureSchema }),
  z.strictObject({ of: z.literal('tool'), property: toolPropertySchema }),
  /** Torque per mass, length or money, or share of the claim. */
  z.strictObject({
    of: z.literal('ratio'),
    step: comparedStepSchema,
    measure: trialMeasureSchema,
    per: toolPropertySchema,
  }),
  /** The total of another scheme. */
  z.strictObject({ of: z.literal('scheme'), schemeId: id }),
]);
export type TermMeasure = z.infer<typeof termMeasureSchema>;

const points = z.number().min(-1e6).max(1e6);

/** From a value to points, before factor and cap. Values are in SI units; money in the currency of the table. */
export const termWaySchema = z.discriminatedUnion('way', [
  /** `points` for each `amount`. */
  z.strictObject({ way: z.literal('perUnit'), points, amount: z.number().positive().max(1e9) }),
  /** `points` for the best; the others in proportion. It moves when tools are added. */
  z.strictObject({ way: z.literal('shareOfBest'), points }),
  /** `points` for what the reference has: a contender of the table, or a fixed value. */
  z.strictObject({
    way: z.literal('shareOfReference'),
    points,
    reference: z.discriminatedUnion('is', [
      z.strictObject({ is: z.literal('contender'), key: contenderKeySchema }),
      z.strictObject({ is: z.literal('value'), value: z.number().positive().max(1e9) }),
    ]),
  }),
  /** The points of the last step whose `from` is reached; none below the first. Rising. */
  z.strictObject({
    way: z.literal('steps'),
    steps: z
      .array(z.strictObject({ from: z.number(), points }))
      .min(1)
      .max(30),
  }),
]);
export type TermWay = z.infer<typeof termWaySchema>;

export const termSchema = z.strictObject({
  id,
  label: z.string().trim().min(1).max(80),
  measure: termMeasureSchema,
  better: z.literal(['more', 'less']),
  how: termWaySchema,
  factor: z.number().min(-1000).max(1000),
  /** The most points that this term can bring, after the factor; null: no cap. */
  cap: z.number().positive().max(1e6).nullable(),
  /** For a contender that has no value. `zero` is shown as what it is. */
  missing: z.literal(['leaveOut', 'zero', 'notRanked']),
});
export type Term = z.infer<typeof termSchema>;

export const schemeDraftSchema = z.strictObject({
  name: z.string().trim().min(1).max(80),
  terms: z.array(termSchema).min(1).max(20),
  /** Divides the total by the sum of the factors that took part. */
  isNormalised: z.boolean(),
  note: z.string().trim().max(2000),
});
export type SchemeDraft = z.infer<typeof schemeDraftSchema>;

/** Never edited: a change is the next version. */
export const schemeVersionSchema = schemeDraftSchema.extend({
  schemeId: id,
  version: z.int().min(1),
  operator: z.string(),
  createdAt: z.string(),
});
export type SchemeVersion = z.infer<typeof schemeVersionSchema>;

export const schemeFindingSchema = z.strictObject({
  /** `stop`: such a version is not stored. */
  severity: z.literal(['note', 'caution', 'stop']),
  /** Null: of the scheme as a whole. */
  termId: z.string().nullable(),
  sentence: z.string(),
});
export type SchemeFinding = z.infer<typeof schemeFindingSchema>;
