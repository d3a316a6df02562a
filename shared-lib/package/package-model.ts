import { z } from 'zod';

/**
 * A data package: a ZIP with what was measured and published, from which anyone can compute the figures again.
 *
 * `datapackage.json`  Frictionless Data Package (v1), every file with its size and SHA-256; `proofarm` holds what is below
 * `README.md`         what it is, and the one command
 * `recompute.mjs`     needs Node alone
 * `data/TABLE.csv`    rows of the database's table of that name; columns keep their names, JSON columns are JSON text
 * `data/counts/TRIAL.csv`    slot, counts; a lost slot has no row
 * `data/arrivals/TRIAL.csv`  slot, arrival_us
 * `tables/trial-figures.csv` a line per trial for people; it follows from `data`
 * `published/*.json`  comparisons, standings and editions as they were shown, with the number of the rules that they follow (`comparing`,
 *                     `gathering`; none: those of before there was one)
 * `photos/*`          pictures of tools, where wanted
 *
 * CSV by RFC 4180 with CRLF, UTF-8 and a point for decimals; numbers are written so that they read back bit for bit. An empty cell is
 * null where the column may be null, else an empty text; an empty text in a column that may be null is `""`. Numbers that SQLite gave to
 * rows on its own (ids of events) are numbered anew from 1 within the package. Which tables and columns these are: `package-tables.ts`.
 * Beside the columns of the database there are `slot_count` in `trial.csv` (a record may end in lost slots) and the table `origin`.
 */
export const PACKAGE_FORMAT = 1;

export const packageManifestSchema = z.strictObject({
  format: z.int(),
  bench: z.strictObject({ id: z.string(), name: z.string() }),
  softwareVersion: z.string(),
  schemaVersion: z.int(),
  definitionVersion: z.int(),
  madeAt: z.string(),
  /** What it was made for, in words. */
  subject: z.string(),
  isSimulated: z.boolean(),
});
export type PackageManifest = z.infer<typeof packageManifestSchema>;

/** A difference found by computing again, or by looking at the files. */
export const recomputeFindingSchema = z.strictObject({
  /** File or trial, then the figure: "trial 3f2c…, sustained torque". */
  where: z.string(),
  what: z.string(),
  isDifference: z.boolean(),
});
export type RecomputeFinding = z.infer<typeof recomputeFindingSchema>;

export const recomputeReportSchema = z.strictObject({
  /** SHA-256 of datapackage.json, which names the SHA-256 of every other file. */
  fingerprint: z.string(),
  trialCount: z.int(),
  /** Figures that were computed again and agree. */
  agreeing: z.int(),
  differing: z.int(),
  /** The same by kind of figure: "figures of trials from raw counts". */
  counts: z.array(z.strictObject({ what: z.string(), agreeing: z.int(), differing: z.int() })),
  findings: z.array(recomputeFindingSchema),
});
export type RecomputeReport = z.infer<typeof recomputeReportSchema>;
