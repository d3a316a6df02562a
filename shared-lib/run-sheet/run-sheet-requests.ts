import { z } from 'zod';
import { planSchema } from './plan-model.ts';
import { roleSchema, runSheetDraftSchema, runSheetSchema, runSheetSummarySchema } from './run-sheet-model.ts';
import { sessionConditionsSchema, sessionReportSchema, sessionSummarySchema } from './session-model.ts';
import {
  packSchema,
  preparationSchema,
  setupAsTestedSchema,
  setupSchema,
  toolSchema,
} from './setup-model.ts';
import { setupUseSchema } from './setup-use.ts';

/** The part of the contract that has to do with setups, plans, run sheets and sessions; api-contract.ts takes it in. */
const empty = z.strictObject({});
const id = z.string().min(1).max(64);
const reason = z.string().trim().min(3, 'Say why, in at least three characters.').max(500);
const runSheetId = z.strictObject({ runSheetId: id });
const entryId = z.strictObject({ entryId: id });

const benchItemsSchema = z.strictObject({
  tools: z.array(toolSchema),
  packs: z.array(packSchema),
  setups: z.array(setupSchema),
});

export const findingSchema = z.strictObject({
  /** `stop`: the sheet is not made like this. */
  severity: z.literal(['note', 'caution', 'stop']),
  code: z.string(),
  sentence: z.string(),
});
export type SheetFinding = z.infer<typeof findingSchema>;

const plansSchema = z.strictObject({ plans: z.array(planSchema), ownPlanIds: z.array(z.string()) });

export const runSheetRequests = {
  /** Archived ones too: trials name them. */
  listBenchItems: { params: empty, result: benchItemsSchema },
  /** A new one, or a change of the one with its id. Trials keep their copies. */
  saveTool: { params: z.strictObject({ tool: toolSchema }), result: benchItemsSchema },
  savePack: { params: z.strictObject({ pack: packSchema }), result: benchItemsSchema },
  /** Refused with 'invalid-state' where trials go by it and it would become another tool, pack, setting or socket. */
  saveSetup: { params: z.strictObject({ setup: setupSchema }), result: benchItemsSchema },
  /** Why a setup may have to stay what it is. */
  getSetupUse: { params: z.strictObject({ setupId: id }), result: setupUseSchema },

  /** Ready-made ones first, then the user's own. */
  listPlans: { params: empty, result: plansSchema },
  /** Refuses to change a ready-made one: save it under another id. */
  savePlan: { params: z.strictObject({ plan: planSchema }), result: plansSchema },
  deletePlan: { params: z.strictObject({ planId: id }), result: plansSchema },

  /** The sheet that would be made, and what speaks against it. */
  previewRunSheet: {
    params: z.strictObject({ draft: runSheetDraftSchema }),
    result: z.strictObject({
      entries: z.array(
        z.strictObject({
          setup: setupAsTestedSchema,
          label: z.string(),
          role: roleSchema,
          round: z.int(),
        }),
      ),
      countedCount: z.int(),
      uncountedCount: z.int(),
      durationS: z.number(),
      /** What the chosen order protects against, in a sentence. */
      protects: z.string(),
      findings: z.array(findingSchema),
    }),
  },
  /** How many rounds a difference of the margin takes, and how many the time allows. */
  planRounds: {
    params: z.strictObject({
      plan: planSchema,
      setupCount: z.int().min(2).max(20),
      hasReference: z.boolean(),
      minutesAtHand: z.number().min(1).max(1440),
      scatterPercent: z.number().min(0.05).max(50),
      marginPercent: z.number().min(0.1).max(100),
    }),
    result: z.strictObject({
      /** Null: more than the most a sheet can have. */
      roundsNeeded: z.int().nullable(),
      /** 0: not even one. */
      roundsThatFit: z.int(),
      roundS: z.number(),
      sentences: z.array(z.string()),
    }),
  },
  makeRunSheet: { params: z.strictObject({ draft: runSheetDraftSchema }), result: runSheetSchema },
  /** Newest first. */
  listRunSheets: { params: empty, result: z.strictObject({ runSheets: z.array(runSheetSummarySchema) }) },
  getRunSheet: { params: runSheetId, result: runSheetSchema },

  /** Puts a sheet on the bench: from now on its entries are the steps. Also a day later, where it was left. */
  openRunSheet: { params: runSheetId, result: empty },
  /** Takes it off the bench; it can be opened again. */
  leaveRunSheet: { params: empty, result: empty },
  /** It is over, whatever is still open; the reason is needed where something is. */
  closeRunSheet: { params: runSheetId.extend({ reason: reason.nullable() }), result: empty },
  /**
   * The setup of the current entry is in hand. `lastPackRestedV`: of the pack that was taken off, where it was asked for.
   * Refused with 'bench-moved-on' where another window has moved on to another entry.
   */
  confirmSetup: {
    params: entryId.extend({
      preparation: preparationSchema,
      lastPackRestedV: preparationSchema.shape.packRestedV,
    }),
    result: empty,
  },
  skipEntry: { params: entryId.extend({ reason }), result: empty },
  takeBackSkip: { params: entryId, result: empty },
  /** Before another entry, or to the end. Only open entries move. */
  moveEntry: { params: entryId.extend({ beforeEntryId: id.nullable() }), result: empty },

  updateSession: { params: sessionConditionsSchema.partial(), result: sessionConditionsSchema },
  /** The next trial begins a new session. */
  endSession: { params: empty, result: z.strictObject({ sessionId: z.string() }) },
  listSessions: {
    params: z.strictObject({ offset: z.int().min(0), limit: z.int().min(1).max(200) }),
    result: z.strictObject({ total: z.int(), sessions: z.array(sessionSummarySchema) }),
  },
  getSessionReport: { params: z.strictObject({ sessionId: id }), result: sessionReportSchema },
} as const satisfies Record<string, { params: z.ZodType; result: z.ZodType }>;
