import { z } from 'zod';
import { contenderKeySchema } from '../comparison/trial-measure.ts';
import { schemeDraftSchema, schemeFindingSchema, schemeVersionSchema } from './scheme-model.ts';
import {
  cellSchema,
  editionSchema,
  editionSummarySchema,
  placeRangesSchema,
  sensitivitySchema,
  standingsChangeSchema,
  standingsSchema,
  standingsTableSchema,
} from './standings-model.ts';

/** The part of the contract that ranks tools; api-contract.ts takes it in. */
const empty = z.strictObject({});
const id = z.string().min(1).max(64);
const tableId = z.strictObject({ tableId: id });

export const standingsRequests = {
  /** The newest version of each, ready-made ones first. */
  listSchemes: {
    params: empty,
    result: z.strictObject({
      schemes: z.array(schemeVersionSchema),
      readyMadeIds: z.array(id),
      archivedIds: z.array(id),
    }),
  },
  /** Newest first. */
  listSchemeVersions: {
    params: z.strictObject({ schemeId: id }),
    result: z.strictObject({
      versions: z.array(schemeVersionSchema),
      /** Each contender that a version takes a share of, by the key that is stored; one that nobody knows any more is not there. */
      references: z.array(
        z.strictObject({
          key: contenderKeySchema,
          /** By which it counts now. */
          currentKey: contenderKeySchema,
          label: z.string(),
        }),
      ),
    }),
  },
  /** What speaks against a draft. `tableId`: the table whose contenders it is held against; null: everybody. */
  checkScheme: {
    params: z.strictObject({
      schemeId: id.nullable(),
      draft: schemeDraftSchema,
      tableId: id.nullable(),
    }),
    result: z.strictObject({ findings: z.array(schemeFindingSchema) }),
  },
  /** `schemeId` null: a new scheme; else its next version. Refused with 'scheme-invalid' where a finding says stop. */
  saveScheme: {
    params: z.strictObject({ schemeId: id.nullable(), draft: schemeDraftSchema }),
    result: schemeVersionSchema,
  },
  archiveScheme: { params: z.strictObject({ schemeId: id, isArchived: z.boolean() }), result: empty },

  /** Tables that are not archived, in the order in which they were made. */
  listStandingsTables: {
    params: empty,
    result: z.strictObject({ tables: z.array(standingsTableSchema) }),
  },
  saveStandingsTable: { params: z.strictObject({ table: standingsTableSchema }), result: empty },

  getStandings: { params: tableId, result: standingsSchema },
  /** The order under a scheme that is not stored, beside the one that is. `schemeId`: the one that is drafted; null: a new one. */
  previewStandings: {
    params: tableId.extend({ schemeId: id.nullable(), draft: schemeDraftSchema }),
    result: z.strictObject({
      standings: standingsSchema,
      changes: z.array(standingsChangeSchema),
      findings: z.array(schemeFindingSchema),
    }),
  },
  /** 10 000 seeded draws. */
  getPlaceRanges: { params: tableId, result: placeRangesSchema },
  getSensitivity: { params: tableId, result: sensitivitySchema },

  /** All that is behind one cell, as it is now, or as it was in an edition. */
  getStandingsCell: {
    params: z.strictObject({
      tableId: id,
      editionId: id.nullable(),
      key: contenderKeySchema,
      termId: id,
    }),
    result: z.strictObject({
      cell: cellSchema,
      /** From value to points, a sentence per step. */
      steps: z.array(z.string()),
      /** Prices, masses, claims, ratings with their source. */
      sources: z.array(z.string()),
      trials: z.array(
        z.strictObject({
          trialId: z.string(),
          startedAt: z.string(),
          value: z.number().nullable(),
          calibrationLabel: z.string(),
          leftOutBecause: z.string().nullable(),
        }),
      ),
    }),
  },

  /** Freezes the table as it is now, with everything it is computed from. */
  makeEdition: {
    params: tableId.extend({
      name: editionSummarySchema.shape.name,
      note: editionSummarySchema.shape.note,
    }),
    result: editionSummarySchema,
  },
  /** Newest first. */
  listEditions: { params: tableId, result: z.strictObject({ editions: z.array(editionSummarySchema) }) },
  getEdition: {
    params: z.strictObject({ editionId: id }),
    result: editionSchema.omit({ input: true }).extend({
      /** Trials of it that were marked suspect, voided or read otherwise since; its figures stay. */
      sinceThen: z.array(z.string()),
    }),
  },
  /** What is other than in an edition; `toEditionId` null: than now. */
  compareEditions: {
    params: z.strictObject({ fromEditionId: id, toEditionId: id.nullable() }),
    result: z.strictObject({
      changes: z.array(standingsChangeSchema),
      /** Of everything: another scheme version, gate, definition. */
      sentences: z.array(z.string()),
    }),
  },
} as const satisfies Record<string, { params: z.ZodType; result: z.ZodType }>;
