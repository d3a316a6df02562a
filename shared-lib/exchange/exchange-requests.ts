import { z } from 'zod';
import { packageManifestSchema } from '../package/package-model.ts';
import { plannedTimeSchema, stepSchema } from '../trial/step-model.ts';
import { float64ArraySchema, uint8ArraySchema } from '../typed-array-schemas.ts';

/** The part of the contract that takes files in: packages of other benches, curves, backups; api-contract.ts takes it in. */
const empty = z.strictObject({});
const id = z.string().min(1).max(64);

/** Most bytes of one piece: a request may have 1 MiB in all. */
export const UPLOAD_PIECE_BYTES = 512 * 1024;

/** A file that a window handed over in pieces, or one that lies on this machine. */
export const sourceSchema = z.discriminatedUnion('from', [
  z.strictObject({ from: z.literal('upload'), uploadId: id }),
  z.strictObject({ from: z.literal('path'), path: z.string().trim().min(1).max(1000) }),
]);
export type Source = z.infer<typeof sourceSchema>;

export const benchSchema = z.strictObject({
  id,
  /** "Bench B"; as its owner calls it. */
  name: z.string().trim().min(1).max(80),
  isOwn: z.boolean(),
  /** Trials here that were pulled on it. */
  trialCount: z.int(),
});
export type Bench = z.infer<typeof benchSchema>;

export const packagePreviewSchema = z.strictObject({
  manifest: packageManifestSchema,
  /** SHA-256 of its datapackage.json. */
  fingerprint: z.string(),
  trials: z.strictObject({ newCount: z.int(), knownCount: z.int() }),
  tools: z.strictObject({ newCount: z.int(), knownCount: z.int() }),
  calibrations: z.strictObject({ newCount: z.int(), knownCount: z.int() }),
  /** Whether it says that it comes from this bench: then nothing is added to what is here. */
  isOwnBench: z.boolean(),
  /** Everything that is new, counted: "2 trials", "1 run sheet". */
  newEntries: z.array(z.string()),
  /** What its bench has added since to entries that are here, counted: "1 void", "2 other calibrations". */
  added: z.array(z.string()),
  /** The same identity with another content: it cannot be taken in as long as there is one. */
  conflicts: z.array(z.string()),
  /** What is not taken in, or stays as it is here. */
  remarks: z.array(z.string()),
});
export type PackagePreview = z.infer<typeof packagePreviewSchema>;

/** Which columns of a CSV of curves mean what. */
export const curveMappingSchema = z.strictObject({
  separator: z.literal([',', ';', '\t']),
  decimal: z.literal(['.', ',']),
  hasHeader: z.boolean(),
  /** From 0; null: there is none, and `sampleRateHz` says how far the lines are apart. */
  timeColumn: z.int().min(0).max(255).nullable(),
  timeUnit: z.literal(['s', 'ms']),
  sampleRateHz: z.number().min(10).max(200_000).nullable(),
  torqueColumns: z.array(z.int().min(0).max(255)).min(1).max(20),
  torqueUnit: z.literal(['Nm', 'ftLbf', 'inLbf', 'kgfm']),
  /** Digits behind the decimal sign that are kept; null: all there are, so that nothing is rounded. */
  decimals: z.int().min(0).max(9).nullable(),
});
export type CurveMapping = z.infer<typeof curveMappingSchema>;

export const curvesPreviewSchema = z.strictObject({
  mapping: curveMappingSchema,
  columns: z.array(z.string()),
  rows: z.array(z.array(z.string())),
  rowCount: z.int(),
  /** One per torque column. */
  curves: z.array(
    z.strictObject({
      label: z.string(),
      sampleRateHz: z.number(),
      /** Lines that are missing on an even time axis; they become gaps. */
      lostCount: z.int(),
      timeS: float64ArraySchema,
      torqueNm: float64ArraySchema,
    }),
  ),
  /** Each stops the import and names its line. */
  problems: z.array(z.string()),
  remarks: z.array(z.string()),
});
export type CurvesPreview = z.infer<typeof curvesPreviewSchema>;

export const importSchema = z.strictObject({
  id,
  at: z.string(),
  operator: z.string(),
  kind: z.literal(['package', 'curves']),
  fileName: z.string(),
  fingerprint: z.string(),
  benchName: z.string(),
  trialCount: z.int(),
});
export type Import = z.infer<typeof importSchema>;

export const exchangeRequests = {
  beginUpload: {
    params: z.strictObject({ fileName: z.string().min(1).max(200), bytes: z.int().min(1) }),
    result: z.strictObject({ uploadId: id }),
  },
  /** Pieces come in order, without gaps. */
  appendUpload: {
    params: z.strictObject({ uploadId: id, offset: z.int().min(0), bytes: uint8ArraySchema }),
    result: empty,
  },
  dropUpload: { params: z.strictObject({ uploadId: id }), result: empty },

  listBenches: { params: empty, result: z.strictObject({ benches: z.array(benchSchema) }) },
  /** The name that one's own bench has in packages and reports. */
  nameBench: { params: benchSchema.pick({ name: true }), result: empty },

  /** Reads a package and holds it against what is here; changes nothing. Errors: 'package-invalid'. */
  previewPackage: { params: z.strictObject({ source: sourceSchema }), result: packagePreviewSchema },
  /** The one that was previewed, by its fingerprint: all of it or nothing. A job. */
  importPackage: {
    params: z.strictObject({ source: sourceSchema, fingerprint: z.string().length(64) }),
    result: z.strictObject({ jobId: id }),
  },

  /** `mapping` null: it is guessed. Errors: 'import-refused' for what is no table at all. */
  previewCurves: {
    params: z.strictObject({ source: sourceSchema, mapping: curveMappingSchema.nullable() }),
    result: curvesPreviewSchema,
  },
  /** Each torque column becomes a trial of its own, marked as imported. */
  importCurves: {
    params: z.strictObject({
      source: sourceSchema,
      mapping: curveMappingSchema,
      /** As of `torqueColumns`. */
      toolNames: z.array(stepSchema.shape.toolName).min(1).max(20),
      kind: z.literal(['tighten', 'stall']),
      direction: stepSchema.shape.direction,
      /** Of all of them; null: as long as each goes on after its onset, down to a half second. */
      plannedS: plannedTimeSchema.nullable(),
      /** When it was measured, as far as is known. */
      measuredAt: z.iso.datetime(),
      /** On which bench, in words. */
      benchName: benchSchema.shape.name,
      /** Relative expanded uncertainty of that bench's torque; null: not stated. */
      uncertaintyPercent: z.number().min(0).max(100).nullable(),
      note: z.string().trim().max(2000),
    }),
    result: z.strictObject({ trialIds: z.array(id) }),
  },
  /** Newest first. */
  listImports: { params: empty, result: z.strictObject({ imports: z.array(importSchema) }) },
} as const satisfies Record<string, { params: z.ZodType; result: z.ZodType }>;
