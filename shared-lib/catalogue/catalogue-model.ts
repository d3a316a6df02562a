import { z } from 'zod';
import { toolSchema } from '../run-sheet/setup-model.ts';

/** What is known of a tool beside what the bench needs to pull it: who makes it, what is claimed, what it costs. */
const id = z.string().min(1).max(64);
const day = z.iso.date();

export const toolClassSchema = z.literal([
  'impactWrench',
  'impactDriver',
  'screwdriver',
  'drill',
  'ratchet',
  'nutrunner',
  'wrench',
  'other',
]);
export type ToolClass = z.infer<typeof toolClassSchema>;

/** Nominal driving squares in mm as ISO 1174 names them (from memory), and hexagons across flats. */
export const driveSizeSchema = z.literal([
  'square6.3',
  'square10',
  'square12.5',
  'square20',
  'square25',
  'hex6.35',
  'hex11.1',
  'other',
]);
export type DriveSize = z.infer<typeof driveSizeSchema>;

/** ISO 4217, as three capital letters. */
export const currencySchema = z.string().regex(/^[A-Z]{3}$/, 'Three capital letters, such as EUR.');

/** The torque that the maker states. A fastening claim compares with tightening, a breakaway claim only with breakaway. */
export const claimSchema = z.strictObject({
  id,
  kind: z.literal(['fastening', 'breakaway']),
  torqueNm: z.number().positive().max(1e6),
  /** Where it is stated: data sheet, box, advertisement. */
  source: z.string().trim().min(1).max(200),
  statedOn: day.nullable(),
});
export type Claim = z.infer<typeof claimSchema>;

export const priceKindSchema = z.literal(['bare', 'kit']);
export type PriceKind = z.infer<typeof priceKindSchema>;

export const priceSchema = z.strictObject({
  id,
  kind: priceKindSchema,
  amount: z.number().positive().max(1e9),
  currency: currencySchema,
  on: day,
  source: z.string().trim().max(200),
});
export type Price = z.infer<typeof priceSchema>;

export const toolDetailsSchema = z.strictObject({
  maker: z.string().trim().max(80),
  model: z.string().trim().max(80),
  /** Null: not known. */
  toolClass: toolClassSchema.nullable(),
  driveSize: driveSizeSchema.nullable(),
  lengthM: z.number().positive().max(10).nullable(),
  massBareKg: z.number().positive().max(100).nullable(),
  /** With the pack it is used with. */
  massLoadedKg: z.number().positive().max(100).nullable(),
  claims: z.array(claimSchema).max(20),
  prices: z.array(priceSchema).max(200),
  note: z.string().trim().max(2000),
});
export type ToolDetails = z.infer<typeof toolDetailsSchema>;

/** Half points from 1 to 10; always a judgement. */
export const handlingScoreSchema = z.number().min(1).max(10).multipleOf(0.5);

export const handlingRatingSchema = z.strictObject({
  id: z.int(),
  toolId: id,
  rater: z.string().trim().min(1).max(80),
  score: handlingScoreSchema,
  /** Entered before that rater could see the tool's figures. */
  isBlind: z.boolean(),
  note: z.string(),
  at: z.string(),
});
export type HandlingRating = z.infer<typeof handlingRatingSchema>;

export const photoSchema = z.strictObject({
  id,
  toolId: id,
  caption: z.string().trim().max(200),
  mediaType: z.literal(['image/jpeg', 'image/png', 'image/webp']),
  addedAt: z.string(),
});
export type Photo = z.infer<typeof photoSchema>;

export const catalogueToolSchema = z.strictObject({
  tool: toolSchema,
  details: toolDetailsSchema,
  photos: z.array(photoSchema),
  /** The newest of each rater. */
  ratings: z.array(handlingRatingSchema),
  /** Set where it was found to be the same as another one; its trials count to that one. */
  mergedIntoToolId: id.nullable(),
  setupCount: z.int(),
  /** Ended trials of it and of what was merged into it. */
  trialCount: z.int(),
  /** What the standings could ask for and is not there, in words. */
  missing: z.array(z.string()),
});
export type CatalogueTool = z.infer<typeof catalogueToolSchema>;

/** Two entries that look like one tool. */
export const likelyTwinSchema = z.strictObject({
  toolIds: z.tuple([id, id]),
  because: z.string(),
});
export type LikelyTwin = z.infer<typeof likelyTwinSchema>;

/** How far raters agree, over the tools that all of them rated; null where it cannot be said, with the reason. */
export const raterAgreementSchema = z.strictObject({
  raters: z.array(z.string()),
  toolCount: z.int(),
  /** Intraclass correlation, two-way random effects, absolute agreement, one rating. */
  icc: z.number().nullable(),
  /** Mean absolute difference between two raters, in points. */
  meanDifference: z.number().nullable(),
  sentence: z.string(),
});
export type RaterAgreement = z.infer<typeof raterAgreementSchema>;

/** One unit of `currency` is `rate` units of `inCurrency`, from that day on. */
export const exchangeRateSchema = z.strictObject({
  currency: currencySchema,
  inCurrency: currencySchema,
  rate: z.number().positive().max(1e9),
  on: day,
  source: z.string().trim().min(1).max(200),
});
export type ExchangeRate = z.infer<typeof exchangeRateSchema>;
