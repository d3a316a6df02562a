import { z } from 'zod';
import { comparedPairSchema } from '../comparison/comparison-requests.ts';
import { trialMeasureSchema } from '../comparison/trial-measure.ts';
import { errorCodes } from '../app-error.ts';

/** What is published, as what, and how far the making of it is. */
const id = z.string().min(1).max(64);

export const comparisonAskedSchema = comparedPairSchema.extend({ measure: trialMeasureSchema });

export const subjectSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('trial'), trialId: id }),
  z.strictObject({ kind: z.literal('comparison'), asked: comparisonAskedSchema }),
  z.strictObject({ kind: z.literal('session'), sessionId: id }),
  z.strictObject({ kind: z.literal('calibration'), calibrationId: id }),
  /** A table as it is now. */
  z.strictObject({ kind: z.literal('standings'), tableId: id }),
  z.strictObject({ kind: z.literal('edition'), editionId: id }),
  /** For a data package, tables or samples: whatever is stored. */
  z.strictObject({ kind: z.literal('everything') }),
]);
export type Subject = z.infer<typeof subjectSchema>;

export const chartKindSchema = z.literal(['curves', 'means', 'places', 'residuals']);

export const subjectDescriptionSchema = z.strictObject({
  title: z.string(),
  /** The verdict, the leader, what was measured. */
  sentence: z.string(),
  /** Trials whose data go with it, left-out and voided ones included. */
  trialIds: z.array(z.string()),
  isSimulated: z.boolean(),
  charts: z.array(chartKindSchema),
  hasReport: z.boolean(),
});
export type SubjectDescription = z.infer<typeof subjectDescriptionSchema>;

export const publishingOrderSchema = z.discriminatedUnion('makes', [
  z.strictObject({
    makes: z.literal('package'),
    subject: subjectSchema,
    withPhotos: z.boolean(),
    /** SPDX identifier under which the data are given away; null: none is stated. */
    licence: z.literal(['CC0-1.0', 'CC-BY-4.0']).nullable(),
  }),
  z.strictObject({
    makes: z.literal('report'),
    subject: subjectSchema,
    form: z.literal(['html', 'pdf']),
    torqueUnit: z.literal(['Nm', 'ftLbf']),
  }),
  /** CSV for a spreadsheet: figures of the trials, and the curve of each. */
  z.strictObject({
    makes: z.literal('tables'),
    subject: subjectSchema,
    separator: z.literal([',', ';']),
    decimal: z.literal(['.', ',']),
  }),
  /** Parquet files, partitioned by bench and day; a folder. */
  z.strictObject({ makes: z.literal('samples'), subject: subjectSchema }),
]);
export type PublishingOrder = z.infer<typeof publishingOrderSchema>;

export const publishedFileSchema = z.strictObject({
  fileName: z.string(),
  path: z.string(),
  bytes: z.int(),
  madeAt: z.string(),
  isFolder: z.boolean(),
});
export type PublishedFile = z.infer<typeof publishedFileSchema>;

/** Anything that takes a while: making a file, taking a package in, a backup. */
export const jobSchema = z.strictObject({
  jobId: z.string(),
  title: z.string(),
  state: z.literal(['waiting', 'working', 'done', 'failed', 'cancelled']),
  /** 0 to 1. */
  fraction: z.number(),
  /** What it does just now, or what came of it. */
  sentence: z.string(),
  fileName: z.string().nullable(),
  failure: z.strictObject({ code: z.literal(errorCodes), message: z.string() }).nullable(),
});
export type Job = z.infer<typeof jobSchema>;
