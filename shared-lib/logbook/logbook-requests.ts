import { z } from 'zod';
import { roleSchema } from '../run-sheet/run-sheet-model.ts';
import { trialFiguresSchema, trialStateSchema, trialSummarySchema } from '../trial/trial-model.ts';
import { directionSchema, kindSchema } from '../trial/step-model.ts';
import { tagSchema } from '../trial/trial-trail.ts';

/** The part of the contract that has to do with finding trials and reading them again; api-contract.ts takes it in. */
const empty = z.strictObject({});
const trialId = z.strictObject({ trialId: z.string().min(1).max(64) });
const reason = z.string().trim().min(3, 'Say why, in at least three characters.').max(500);
const day = z.iso.date();

export const trialFilterSchema = z.strictObject({
  /** Part of the tool's name, the setup, the note or a tag; every word must be found somewhere. */
  search: z.string().max(200),
  /** `suspect`: under a mark of a failed check that nobody has decided on; `excluded`: decided so. */
  state: trialStateSchema.or(z.literal(['voided', 'suspect', 'excluded'])).nullable(),
  kind: kindSchema.nullable().optional(),
  direction: directionSchema.nullable().optional(),
  verdict: z.literal(['good', 'look', 'notUsable']).nullable().optional(),
  role: roleSchema.nullable().optional(),
  tag: tagSchema.nullable().optional(),
  sessionId: z.string().max(64).nullable().optional(),
  runSheetId: z.string().max(64).nullable().optional(),
  setupId: z.string().max(64).nullable().optional(),
  /** Calendar days of this computer, both included. */
  fromDay: day.nullable().optional(),
  toDay: day.nullable().optional(),
});
export type TrialFilter = z.infer<typeof trialFilterSchema>;

export const trialSortSchema = z.literal(['newest', 'oldest', 'strongest', 'weakest', 'tool']);
export type TrialSort = z.infer<typeof trialSortSchema>;

export const windowFiguresSchema = z.strictObject({
  fromS: z.number(),
  toS: z.number(),
  sampleCount: z.int(),
  lostCount: z.int(),
  meanNm: z.number().nullable(),
  leastNm: z.number().nullable(),
  greatestNm: z.number().nullable(),
  standardDeviationNm: z.number().nullable(),
  impulseNms: z.number().nullable(),
});

export const logbookRequests = {
  listTrials: {
    params: trialFilterSchema.extend({
      /** Left out: newest first. */
      sort: trialSortSchema.optional(),
      offset: z.int().min(0),
      limit: z.int().min(1).max(500),
    }),
    result: z.strictObject({ total: z.int(), trials: z.array(trialSummarySchema) }),
  },
  listTags: {
    params: empty,
    result: z.strictObject({ tags: z.array(z.strictObject({ tag: tagSchema, count: z.int() })) }),
  },
  /** Note and tags from now on; what stood there before stays in the trail. */
  annotateTrial: {
    params: trialId.extend({ note: z.string().trim().max(2000), tags: z.array(tagSchema).max(12) }),
    result: empty,
  },
  /**
   * A tool or setup that was named wrongly. `setupId`: one of this bench, or the one that the trial has, which stays with it under the
   * new name; null: from now on only the name of the tool is known.
   */
  relabelTrial: {
    params: trialId.extend({
      toolName: z.string().trim().min(1).max(80),
      setupId: z.string().max(64).nullable(),
      reason,
    }),
    result: empty,
  },
  /** Figures under other assumptions; nothing is stored. Null: as the trial has it. */
  whatIfTrial: {
    params: trialId.extend({
      calibrationId: z.string().max(64).nullable(),
      onsetLevelNm: z.number().positive().max(1e6).nullable(),
      /** Of the measuring curve. */
      windowS: z.number().min(0.005).max(2).nullable(),
    }),
    result: z.strictObject({
      figures: trialFiguresSchema,
      /** What was assumed otherwise, in sentences. */
      assumptions: z.array(z.string()),
    }),
  },
  /** Raw calibrated samples between two times from onset; null: none there. */
  getWindowFigures: {
    params: trialId.extend({ fromS: z.number(), toS: z.number() }),
    result: windowFiguresSchema,
  },
  /** Trials whose newest figures follow an older definition; they are measured anew while nothing else is to be done. */
  getRecomputation: {
    params: empty,
    result: z.strictObject({ definitionVersion: z.int(), outdatedCount: z.int(), failedCount: z.int() }),
  },
} as const satisfies Record<string, { params: z.ZodType; result: z.ZodType }>;
