import { z } from 'zod';
import { chartSchema } from '../charts/chart-model.ts';
import { reportSchema } from '../report/report-model.ts';
import { trialSummarySchema } from '../trial/trial-model.ts';
import { uint8ArraySchema } from '../typed-array-schemas.ts';
import {
  chartKindSchema,
  jobSchema,
  publishedFileSchema,
  publishingOrderSchema,
  subjectDescriptionSchema,
  subjectSchema,
} from './publishing-model.ts';

/** The part of the contract that publishes; api-contract.ts takes it in. */
const empty = z.strictObject({});
const jobId = z.strictObject({ jobId: z.string().min(1).max(64) });
const fileName = z.string().min(1).max(200);

export const publishingRequests = {
  describeSubject: { params: z.strictObject({ subject: subjectSchema }), result: subjectDescriptionSchema },
  /** Trials of a subject that may be shown, kept and not voided; the newest first, as many as one list takes, and how many there are. */
  listReplayable: {
    params: z.strictObject({ subject: subjectSchema }),
    result: z.strictObject({ total: z.int(), trials: z.array(trialSummarySchema) }),
  },
  /** Refused with 'invalid-request' where the subject has no such chart. */
  getChart: {
    params: z.strictObject({ subject: subjectSchema, chart: chartKindSchema }),
    result: chartSchema,
  },
  getReport: {
    params: z.strictObject({ subject: subjectSchema, torqueUnit: z.literal(['Nm', 'ftLbf']) }),
    result: reportSchema,
  },
  /** Into the folder `published` of the data folder; how far it is comes as 'jobsChanged'. */
  startPublishing: { params: z.strictObject({ order: publishingOrderSchema }), result: jobId },
  /** Of any job; what it had written is taken away. */
  cancelJob: { params: jobId, result: empty },
  /** Newest first; those of this start of the program. */
  listJobs: { params: empty, result: z.strictObject({ jobs: z.array(jobSchema) }) },
  listPublished: {
    params: empty,
    result: z.strictObject({ folder: z.string(), files: z.array(publishedFileSchema) }),
  },
  /** A piece of a published file, for a window that saves it elsewhere. Refused for a folder. */
  readPublished: {
    params: z.strictObject({
      fileName,
      offset: z.int().min(0),
      length: z
        .int()
        .min(1)
        .max(4 * 1024 * 1024),
    }),
    result: z.strictObject({ bytes: uint8ArraySchema, totalBytes: z.int() }),
  },
  removePublished: { params: z.strictObject({ fileName }), result: empty },
} as const satisfies Record<string, { params: z.ZodType; result: z.ZodType }>;

export const publishingEvents = {
  jobsChanged: z.strictObject({ jobs: z.array(jobSchema) }),
  /** A file was added to or removed from the published ones. */
  publishedChanged: empty,
} as const satisfies Record<string, z.ZodType>;
