import { z } from 'zod';
import { sourceSchema } from '../exchange/exchange-requests.ts';

/** The part of the contract that keeps copies of the data; api-contract.ts takes it in. */
const empty = z.strictObject({});
const fileName = z.string().min(1).max(200);

/** How many of the automatic ones are kept: each of the last days, then one a week, then one a month. */
export const backupRuleSchema = z.strictObject({
  isDaily: z.boolean(),
  keepDays: z.int().min(1).max(60),
  keepWeeks: z.int().min(0).max(52),
  keepMonths: z.int().min(0).max(120),
  /** A second place, such as another disk; null: none. */
  alsoInFolder: z.string().trim().min(1).max(1000).nullable(),
});
export type BackupRule = z.infer<typeof backupRuleSchema>;

export const defaultBackupRule: BackupRule = {
  isDaily: true,
  keepDays: 7,
  keepWeeks: 4,
  keepMonths: 12,
  alsoInFolder: null,
};

export const backupSchema = z.strictObject({
  fileName,
  path: z.string(),
  bytes: z.int(),
  madeAt: z.string(),
  why: z.literal(['daily', 'asked', 'beforeRestore']),
  benchName: z.string(),
  trialCount: z.int(),
});
export type Backup = z.infer<typeof backupSchema>;

export const restorePreviewSchema = z.strictObject({
  backup: backupSchema,
  /** The checksum in the file, which has been checked. */
  checksum: z.string(),
  newestTrialAt: z.string().nullable(),
  /** Trials, calibrations and editions that are here and not in the backup: they stay in a backup that is made first. */
  onlyHere: z.strictObject({ trials: z.int(), calibrations: z.int(), editions: z.int() }),
  onlyInBackup: z.strictObject({ trials: z.int(), calibrations: z.int(), editions: z.int() }),
  sentences: z.array(z.string()),
});
export type RestorePreview = z.infer<typeof restorePreviewSchema>;

export const backupRequests = {
  listBackups: {
    params: empty,
    result: z.strictObject({
      folder: z.string(),
      /** Newest first. */
      backups: z.array(backupSchema),
      /** Why the newest automatic one could not be made; null: nothing is wrong. */
      problem: z.string().nullable(),
    }),
  },
  /** A job; recording goes on. The file is verified before it counts. */
  makeBackup: { params: empty, result: z.strictObject({ jobId: z.string() }) },
  /** Reads all of it. Errors: 'backup-damaged', naming what does not hold. */
  verifyBackup: { params: z.strictObject({ fileName }), result: z.strictObject({ sentence: z.string() }) },
  /** Changes nothing. Errors: 'backup-not-found', 'backup-damaged', 'database-too-new'. */
  previewRestore: { params: z.strictObject({ source: sourceSchema }), result: restorePreviewSchema },
  /**
   * Keeps what is here in a backup, puts the other in its place and starts the services anew; windows connect again.
   * Refused with 'invalid-state' beside a trial or a guided run under way.
   */
  restoreBackup: {
    params: z.strictObject({ source: sourceSchema, checksum: z.string().length(64) }),
    result: z.strictObject({ keptAs: z.string() }),
  },
} as const satisfies Record<string, { params: z.ZodType; result: z.ZodType }>;

export const backupEvents = {
  backupsChanged: empty,
  /** Everything may be another now: a window starts anew. */
  dataReplaced: empty,
} as const satisfies Record<string, z.ZodType>;
