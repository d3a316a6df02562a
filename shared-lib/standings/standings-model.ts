import { z } from 'zod';
import {
  currencySchema,
  driveSizeSchema,
  exchangeRateSchema,
  toolClassSchema,
} from '../catalogue/catalogue-model.ts';
import { contenderSchema } from '../comparison/comparison-model.ts';
import { contenderKeySchema } from '../comparison/trial-measure.ts';
import { qualityGateSchema } from '../run-sheet/session-model.ts';
import { supplySchema } from '../run-sheet/setup-model.ts';
import { schemeVersionSchema, toolPropertySchema } from './scheme-model.ts';

/** Tables of standings, what goes into them and what comes out. The computation: compute-standings.ts. */
const id = z.string().min(1).max(64);

export const standingsTableSchema = z.strictObject({
  id,
  name: z.string().trim().min(1).max(80),
  schemeId: id,
  /** Whom it takes in; empty: all. */
  toolClasses: z.array(toolClassSchema).max(10),
  driveSizes: z.array(driveSizeSchema).max(10),
  supplies: z.array(supplySchema).max(4),
  /** A table has either real or simulated trials, never both. */
  isSimulated: z.boolean(),
  gate: qualityGateSchema,
  /**
   * Of each step the trials of one bench, or those of several side by side, each with the uncertainty of its calibration. Left
   * out: one, as it is in tables and editions from before there was a choice.
   */
  benches: z.literal(['one', 'several']).optional(),
  /** In which prices are compared. */
  currency: currencySchema,
  isArchived: z.boolean(),
});
export type StandingsTable = z.infer<typeof standingsTableSchema>;

/** A property as it is in force; `value` null with the reason. */
export const propertyValueSchema = z.strictObject({
  property: toolPropertySchema,
  /** SI; money in the currency of the table. */
  value: z.number().nullable(),
  missing: z.string().nullable(),
  /** Where it comes from, in words: "199 EUR, kit, 2026-03-01, shop; at 1.09 USD". */
  source: z.string(),
  /** Of ratings by several raters: standard error of the mean. Null: none known. */
  standardError: z.number().nullable(),
  /** Of that standard error: raters less one. Left out of what nobody rated, and of ratings of before. */
  degreesOfFreedom: z.int().optional(),
});
export type PropertyValue = z.infer<typeof propertyValueSchema>;

export const standingsSubjectSchema = z.strictObject({
  contender: contenderSchema,
  toolClass: toolClassSchema.nullable(),
  driveSize: driveSizeSchema.nullable(),
  supply: supplySchema.nullable(),
  /** Each at most once; one that is not there was never asked for. */
  properties: z.array(propertyValueSchema),
  /** Why it cannot be ranked whatever the scheme: no tool of the list, never tested, in two classes. */
  notRankedBecause: z.string().nullable(),
});
export type StandingsSubject = z.infer<typeof standingsSubjectSchema>;

/** A trial with all its values that the scheme asks for. */
export const scoredTrialSchema = z.strictObject({
  trialId: z.string(),
  key: contenderKeySchema,
  sessionId: z.string(),
  startedAt: z.string(),
  evaluationId: z.int(),
  calibrationId: z.string(),
  direction: z.literal(['forward', 'reverse']),
  /**
   * Place in `measures` of the input, and what the trial has there; null: none. `wasAsked` false: a time to a level that nobody
   * asked for when the trial was measured.
   */
  values: z.array(
    z.strictObject({
      measure: z.int(),
      value: z.number().nullable(),
      wasAsked: z.literal(false).optional(),
    }),
  ),
  /** Null: it counts. */
  leftOutBecause: z.string().nullable(),
});
export type ScoredTrial = z.infer<typeof scoredTrialSchema>;

/**
 * The rules by which standings gather what they are computed from, now. 2: of who was pulled as a setup too the reference pulls are left
 * out, a time that nobody asked for is told from one not reached, and onset levels that differ are named (gather-scored-trials.ts). 3: a
 * name stands for a tool that was put away, too (tools-by-name.ts). 4: trials of two definitions that have the same measures are
 * alike (like-for-like.ts). 5: suspect trials that nobody has decided about are told, sessions of
 * one day are one day (day-to-day.ts), and a released preload is called what it is. Before 2 there was no number.
 */
export const GATHERING = 5;

/** Everything that standings are computed from; an edition keeps it whole. */
export const standingsInputSchema = z.strictObject({
  table: standingsTableSchema,
  /** The newest version of the table's scheme first, then those it refers to. */
  schemes: z.array(schemeVersionSchema).min(1),
  /** Each trial measure that the schemes ask for, once, as JSON of its step and measure. */
  measures: z.array(z.string()),
  subjects: z.array(standingsSubjectSchema),
  trials: z.array(scoredTrialSchema),
  rates: z.array(exchangeRateSchema),
  /** Relative standard uncertainty of each calibration's scale. */
  calibrations: z.array(
    z.strictObject({ calibrationId: z.string(), label: z.string(), uncertainty: z.number().nullable() }),
  ),
  /** Day-to-day standard deviation of ln(measure) per entry of `measures`; null: not known. */
  dayToDay: z.array(
    z.strictObject({ standardDeviation: z.number(), degreesOfFreedom: z.number() }).nullable(),
  ),
  /**
   * On which bench the trials that count were pulled, where onset levels differ, and which of them are suspect, a sentence per step;
   * part of the cautions of the table.
   */
  benches: z.array(z.string()).optional(),
  /** By which rules, see GATHERING; left out: those of before they had a number. */
  gathering: z.int().min(2).max(GATHERING).optional(),
});
export type StandingsInput = z.infer<typeof standingsInputSchema>;

export const cellSchema = z.strictObject({
  termId: z.string(),
  /** The measure itself, SI; null: missing. */
  value: z.number().nullable(),
  /** Trials behind it. */
  count: z.int(),
  /** After factor and cap; null: left out. */
  points: z.number().nullable(),
  /** Set where the value is missing, whatever became of the points. */
  missing: z.string().nullable(),
  isCapped: z.boolean(),
});
export type Cell = z.infer<typeof cellSchema>;

export const standingsRowSchema = z.strictObject({
  contender: contenderSchema,
  toolClass: toolClassSchema.nullable(),
  place: z.int(),
  total: z.number(),
  cells: z.array(cellSchema),
  cautions: z.array(z.string()),
});
export type StandingsRow = z.infer<typeof standingsRowSchema>;

export const notRankedSchema = z.strictObject({
  contender: contenderSchema,
  toolClass: toolClassSchema.nullable(),
  because: z.array(z.string()).min(1),
  cells: z.array(cellSchema),
});
export type NotRanked = z.infer<typeof notRankedSchema>;

export const standingsSchema = z.strictObject({
  table: standingsTableSchema,
  scheme: schemeVersionSchema,
  /** By place, then by label. */
  rows: z.array(standingsRowSchema),
  notRanked: z.array(notRankedSchema),
  /** Of the table as a whole: which bench and rate it holds for, what moves when tools are added. */
  cautions: z.array(z.string()),
});
export type Standings = z.infer<typeof standingsSchema>;

export const placeRangeSchema = z.strictObject({
  key: contenderKeySchema,
  bestPlace: z.int(),
  worstPlace: z.int(),
  notSeparatedFrom: z.array(contenderKeySchema),
});
export type PlaceRange = z.infer<typeof placeRangeSchema>;

export const placeRangesSchema = z.strictObject({
  ranges: z.array(placeRangeSchema),
  drawCount: z.int(),
  seed: z.int(),
  /** Critical value of the largest standardised difference, 95 %; null where no ranges could be given. */
  criticalValue: z.number().nullable(),
  /** Why there are none, or for whom; and how to read them. */
  sentences: z.array(z.string()),
});
export type PlaceRanges = z.infer<typeof placeRangesSchema>;

/** What a factor would have to be for the order to change. */
export const sensitivitySchema = z.strictObject({
  terms: z.array(
    z.strictObject({
      termId: z.string(),
      factor: z.number(),
      /** The order stays as it is between these; null: no bound within 0 and ten times. */
      orderKeptFrom: z.number().nullable(),
      orderKeptTo: z.number().nullable(),
      /** The first place stays between these. */
      leaderKeptFrom: z.number().nullable(),
      leaderKeptTo: z.number().nullable(),
      /** Places with the factor at zero and doubled: key and place, for those that move. */
      without: z.array(z.strictObject({ key: contenderKeySchema, place: z.int() })),
      doubled: z.array(z.strictObject({ key: contenderKeySchema, place: z.int() })),
    }),
  ),
  /** Share of random weightings (all as likely) in which each comes first. */
  firstShares: z.array(z.strictObject({ key: contenderKeySchema, share: z.number() })),
  weightingCount: z.int(),
  seed: z.int(),
  sentences: z.array(z.string()),
});
export type Sensitivity = z.infer<typeof sensitivitySchema>;

export const editionSummarySchema = z.strictObject({
  id,
  tableId: id,
  name: z.string().trim().min(1).max(80),
  note: z.string().trim().max(2000),
  operator: z.string(),
  createdAt: z.string(),
  definitionVersion: z.int(),
  softwareVersion: z.string(),
  /** Of all that was frozen, SHA-256 in hex; two editions with the same one are the same. */
  fingerprint: z.string(),
});
export type EditionSummary = z.infer<typeof editionSummarySchema>;

export const editionSchema = z.strictObject({
  summary: editionSummarySchema,
  input: standingsInputSchema,
  standings: standingsSchema,
  placeRanges: placeRangesSchema,
});
export type Edition = z.infer<typeof editionSchema>;

export const standingsChangeSchema = z.strictObject({
  key: contenderKeySchema,
  label: z.string(),
  /** Null: not ranked, or not there. */
  fromPlace: z.int().nullable(),
  toPlace: z.int().nullable(),
  fromTotal: z.number().nullable(),
  toTotal: z.number().nullable(),
  cells: z.array(
    z.strictObject({
      termId: z.string(),
      label: z.string(),
      fromPoints: z.number().nullable(),
      toPoints: z.number().nullable(),
      /** Why, from what went in: a trial voided, another calibration, a price, the scheme. */
      because: z.array(z.string()),
    }),
  ),
  /** For a place that moved although no cell of its own did. */
  because: z.array(z.string()),
});
export type StandingsChange = z.infer<typeof standingsChangeSchema>;
