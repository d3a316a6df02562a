import { z } from 'zod';
import { stepSchema } from '../trial/step-model.ts';
import { planSchema } from './plan-model.ts';
import { askSchema, preparationSchema, setupAsTestedSchema } from './setup-model.ts';

const id = z.string().min(1).max(64);

/**
 * `rounds`: every setup once through all steps, the order within each round from a Williams square (ABBA for two).
 * `blocks`: all of a tool, then the next one. `asListed`: each round in the order of the list.
 */
export const orderSchema = z.literal(['rounds', 'blocks', 'asListed']);
export type Order = z.infer<typeof orderSchema>;

export const roleSchema = z.literal(['counted', 'conditioning', 'reference']);
export type Role = z.infer<typeof roleSchema>;

/** Where a trial stands in a run sheet; a copy stays with the trial. */
export const placeInSheetSchema = z.strictObject({
  runSheetId: id,
  entryId: id,
  /** Of the sheet as it stood then, from 0. */
  index: z.int().min(0),
  /** From 1; 0: before or after all rounds. */
  round: z.int().min(0),
  /** Of the setup and step within the round, from 1. */
  repeat: z.int().min(1),
  role: roleSchema,
});
export type PlaceInSheet = z.infer<typeof placeInSheetSchema>;

export const runSheetEntrySchema = z.strictObject({
  id,
  setup: setupAsTestedSchema,
  step: stepSchema,
  role: roleSchema,
  round: z.int().min(0),
  repeat: z.int().min(1),
  /** What the pull planned before it with the same setup asks for; at the bench that of the last one really pulled counts. */
  restS: z.number().min(0),
  /** `done`: a trial of it is kept. A voided one leaves it open. */
  state: z.literal(['open', 'done', 'skipped']),
  skipReason: z.string().nullable(),
  /** All attempts, oldest first, the voided and interrupted ones too. */
  trialIds: z.array(z.string()),
});
export type RunSheetEntry = z.infer<typeof runSheetEntrySchema>;

export const runSheetDraftSchema = z.strictObject({
  name: z.string().trim().min(1).max(80),
  plan: planSchema,
  setupIds: z.array(id).min(1).max(20),
  /** Its pulls come on top; null: none. */
  referenceSetupId: id.nullable(),
  order: orderSchema,
  /** A whole number of 32 bits; the same draft with the same seed is the same sheet. */
  seed: z
    .int()
    .min(0)
    .max(2 ** 32 - 1),
});
export type RunSheetDraft = z.infer<typeof runSheetDraftSchema>;

export const runSheetSchema = z.strictObject({
  id,
  name: runSheetDraftSchema.shape.name,
  createdAt: z.string(),
  operator: z.string(),
  plan: planSchema,
  order: orderSchema,
  seed: runSheetDraftSchema.shape.seed,
  referenceSetupId: id.nullable(),
  closedAt: z.string().nullable(),
  /** In the order in which they are to be pulled. */
  entries: z.array(runSheetEntrySchema),
});
export type RunSheet = z.infer<typeof runSheetSchema>;

export const runSheetSummarySchema = z.strictObject({
  id,
  name: z.string(),
  createdAt: z.string(),
  closedAt: z.string().nullable(),
  planName: z.string(),
  setupCount: z.int(),
  /** Of the counted pulls. */
  doneCount: z.int(),
  skippedCount: z.int(),
  totalCount: z.int(),
});
export type RunSheetSummary = z.infer<typeof runSheetSummarySchema>;

/** A setup that was taken in hand, with what was asked for then. It holds until another is, or the round ends. */
export const confirmedSetupSchema = z.strictObject({
  setupId: id,
  round: z.int().min(0),
  sessionId: z.string(),
  preparation: preparationSchema,
  at: z.string(),
});
export type ConfirmedSetup = z.infer<typeof confirmedSetupSchema>;

/** The run sheet on the bench as a window sees it. */
export const sheetOnBenchSchema = z.strictObject({
  id,
  name: z.string(),
  /** Null: everything is done or skipped. */
  current: runSheetEntrySchema.nullable(),
  /** The next few after it. */
  following: z.array(runSheetEntrySchema),
  /** False: the setup of the current entry is to be taken in hand first, by `confirmSetup`. */
  isSetupInHand: z.boolean(),
  asks: z.array(askSchema),
  /** What was found last with this setup, to be confirmed or put right. */
  prefilled: preparationSchema,
  /** When the rest of the current entry ends; null: none, or it is over. */
  restUntil: z.string().nullable(),
  restLeftS: z.number().nullable(),
  /** Counted pulls. */
  doneCount: z.int(),
  skippedCount: z.int(),
  totalCount: z.int(),
  /** Rounds in all, and as many as a published result takes. */
  rounds: z.int(),
  roundsToPublish: z.int(),
});
export type SheetOnBench = z.infer<typeof sheetOnBenchSchema>;
