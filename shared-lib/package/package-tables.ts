import { benchTables, toolTables } from './bench-tables.ts';
import type { PackageTable } from './package-table.ts';
import { sittingTables, trialTables } from './trial-tables.ts';

/**
 * Everything of the database that travels in a data package, what is referred to before what refers to it.
 *
 * Left out: what follows from other rows (scores, tags, columns for the list), what is a matter of each bench (settings, margins,
 * exchange rates, schemes, tables of standings; those that were published lie in published/), and ports.
 */
export const packageTables: readonly PackageTable[] = [
  ...benchTables,
  ...toolTables,
  ...sittingTables,
  ...trialTables,
];

export function tableNamed(name: string): PackageTable {
  const table = packageTables.find((candidate) => candidate.name === name);
  if (table) return table;
  throw new Error(`No table ${name} travels in packages`);
}

/** Rows of these are told apart by the bench they were made on. */
export const tablesWithOrigin: readonly string[] = [
  'transducer',
  'amplifier',
  'calibration_run',
  'calibration',
  'tool',
  'pack',
  'setup',
  'session',
  'run_sheet',
  'trial',
];

/** Every bench has these under the same id, so they belong to none, and each has its own time of making them. */
export const sharedRows: Readonly<Record<string, readonly string[]>> = {
  transducer: ['simulated-bench', 'replayed-capture'],
  calibration: ['simulated-bench-calibration'],
};

export const DATA_FOLDER = 'data/';
export const MANIFEST_FILE = 'datapackage.json';
export const README_FILE = 'README.md';
export const RECOMPUTE_FILE = 'recompute.mjs';
export const FIGURES_FILE = 'tables/trial-figures.csv';
export const PUBLISHED_FOLDER = 'published/';
export const PHOTO_FOLDER = 'photos/';
export const countsFile = (trialId: string): string => `data/counts/${trialId}.csv`;
export const arrivalsFile = (trialId: string): string => `data/arrivals/${trialId}.csv`;
/** Whether a file holds the counts or the arrival times of a trial, which can be longer than any text. */
export const isRecordFile = (path: string): boolean => /^data\/(?:counts|arrivals)\/[^/]+\.csv$/.test(path);
export const COUNTS_HEADER = 'slot,counts\r\n';
export const ARRIVALS_HEADER = 'slot,arrival_us\r\n';
export const tableFile = (table: string): string => `${DATA_FOLDER}${table}.csv`;

const photoEndings: Readonly<Record<string, string>> = {
  'image/jpeg': 'jpg',
  'image/png': 'png',
  'image/webp': 'webp',
};
export const photoFile = (photoId: string, mediaType: string): string =>
  `${PHOTO_FOLDER}${photoId}.${photoEndings[mediaType] ?? 'bin'}`;

/** Ids become names of files, on every system. */
export const FILE_SAFE_ID = /^[A-Za-z0-9][A-Za-z0-9-]{0,63}$/;
