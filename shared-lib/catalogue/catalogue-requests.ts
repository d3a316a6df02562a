import { z } from 'zod';
import { toolSchema } from '../run-sheet/setup-model.ts';
import { uint8ArraySchema } from '../typed-array-schemas.ts';
import {
  catalogueToolSchema,
  exchangeRateSchema,
  handlingScoreSchema,
  likelyTwinSchema,
  photoSchema,
  raterAgreementSchema,
  toolDetailsSchema,
} from './catalogue-model.ts';

/** The part of the contract that has to do with what is known of the tools; api-contract.ts takes it in. */
const empty = z.strictObject({});
const id = z.string().min(1).max(64);
const reason = z.string().trim().min(3, 'Say why, in at least three characters.').max(500);
const toolId = z.strictObject({ toolId: id });
const csv = z.string().max(800_000);
/** What one request can carry. */
export const LARGEST_PHOTO_BYTES = 700_000;

export const importRowSchema = z.strictObject({
  /** Of the file, from 1, the header included. */
  line: z.int(),
  name: z.string(),
  outcome: z.literal(['new', 'changed', 'same', 'refused']),
  /** What would change, or why it is refused. */
  remarks: z.array(z.string()),
});
export type ImportRow = z.infer<typeof importRowSchema>;

export const catalogueRequests = {
  /** Archived and merged ones too. By name. */
  listCatalogue: {
    params: empty,
    result: z.strictObject({
      tools: z.array(catalogueToolSchema),
      likelyTwins: z.array(likelyTwinSchema),
      agreement: raterAgreementSchema,
    }),
  },
  /** A new one, or the new form of the one with its id; what stood there before stays in its history. */
  saveCatalogueTool: {
    params: z.strictObject({ tool: toolSchema, details: toolDetailsSchema }),
    result: empty,
  },
  /** Newest first. */
  getToolHistory: {
    params: toolId,
    result: z.strictObject({
      versions: z.array(
        z.strictObject({
          at: z.string(),
          operator: z.string(),
          /** What is other than in the version before, in words. */
          changes: z.array(z.string()),
        }),
      ),
    }),
  },
  /** Trials and setups of the first count to the second from now on; trials keep what they were made with. */
  mergeTools: {
    params: z.strictObject({ fromToolId: id, intoToolId: id, reason }),
    result: empty,
  },
  undoMerge: { params: z.strictObject({ fromToolId: id, reason }), result: empty },

  /** Refused with 'photo-invalid' over LARGEST_PHOTO_BYTES, or where the bytes are no such picture. */
  addToolPhoto: {
    params: toolId.extend({
      caption: photoSchema.shape.caption,
      mediaType: photoSchema.shape.mediaType,
      bytes: uint8ArraySchema,
    }),
    result: photoSchema,
  },
  getToolPhoto: {
    params: z.strictObject({ photoId: id }),
    result: z.strictObject({ photo: photoSchema, bytes: uint8ArraySchema }),
  },
  removeToolPhoto: { params: z.strictObject({ photoId: id }), result: empty },

  /** Replaces the earlier one of the same rater, which stays stored. */
  rateHandling: {
    params: toolId.extend({
      rater: z.string().trim().min(1).max(80),
      score: handlingScoreSchema,
      isBlind: z.boolean(),
      note: z.string().trim().max(500),
    }),
    result: empty,
  },
  /**
   * The tool that this trial pulled, or what it was merged into (null: the catalogue has none, or it is not known which of several),
   * and whether figures of it have been shown before, by another trial: a rating after it is blind only if they have not, or if the
   * rater has not seen them.
   */
  getFiguresShown: {
    params: z.strictObject({ trialId: id }),
    result: z.strictObject({ trialId: id, toolId: id.nullable(), wereFiguresShown: z.boolean() }),
  },
  withdrawRating: { params: z.strictObject({ ratingId: z.int(), reason }), result: empty },

  /** The whole catalogue as a table; a cell that a spreadsheet would take for a formula is made harmless. */
  exportCatalogue: { params: empty, result: z.strictObject({ csv: z.string(), fileName: z.string() }) },
  previewCatalogueImport: {
    params: z.strictObject({ csv }),
    result: z.strictObject({ rows: z.array(importRowSchema), refusedCount: z.int() }),
  },
  /** All of it or nothing: refused as long as one line is. */
  importCatalogue: {
    params: z.strictObject({ csv }),
    result: z.strictObject({ newCount: z.int(), changedCount: z.int() }),
  },

  listExchangeRates: { params: empty, result: z.strictObject({ rates: z.array(exchangeRateSchema) }) },
  /** Appended; the newest day up to the day it is needed for counts. */
  addExchangeRate: { params: z.strictObject({ rate: exchangeRateSchema }), result: empty },
} as const satisfies Record<string, { params: z.ZodType; result: z.ZodType }>;
