import { readFileSync } from 'node:fs';
import { dataPackage, type PackedFile } from '../../shared-lib/package/data-package.ts';
import { PACKAGE_FORMAT, type PackageManifest } from '../../shared-lib/package/package-model.ts';
import {
  FIGURES_FILE,
  MANIFEST_FILE,
  packageTables,
  PUBLISHED_FOLDER,
  README_FILE,
  RECOMPUTE_FILE,
  tableFile,
} from '../../shared-lib/package/package-tables.ts';
import { readmeText } from '../../shared-lib/package/readme-text.ts';
import {
  arrivalsSchema,
  countsSchema,
  type TableSchema,
  tableSchemaOf,
} from '../../shared-lib/package/table-schemas.ts';
import { DEFINITION_VERSION } from '../../shared-lib/trial/definition-version.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import { schemaVersionOf } from '../storage/migrate.ts';
import { finishTarget } from '../work/finish-target.ts';
import type { Work, WorkTools } from '../work/work-tools.ts';
import { chooseRows } from './choose-rows.ts';
import { textPieces } from './file-stream.ts';
import { openSnapshot } from '../storage/open-read-only.ts';
import { figuresOfPackage } from './package-figures.ts';
import { photosOf, samplesOf, tableLines } from './package-sources.ts';
import { type FileToPack, writeZip } from './write-zip.ts';

export interface PackageWork {
  readonly databasePath: string;
  readonly targetFile: string;
  readonly madeAt: string;
  readonly softwareVersion: string;
  readonly bench: { readonly id: string; readonly name: string };
  /** In words. */
  readonly subject: string;
  readonly trialIds: readonly string[];
  /** Calibrations that go with it even if none of the trials rests on them. */
  readonly calibrationIds: readonly string[];
  /** Tools that go with it even if none of the trials was pulled with them. */
  readonly toolIds: readonly string[];
  /** All that is stored: `trialIds` need not be named then, and tools and run sheets without trials are in it too. */
  readonly isEverything: boolean;
  readonly isSimulated: boolean;
  /** Comparisons, standings and editions as they were shown: file name below `published/` and text. */
  readonly published: readonly { readonly fileName: string; readonly json: string }[];
  readonly withPhotos: boolean;
  readonly licence: string | null;
  /** The built script that travels along. */
  readonly recomputeFile: string;
}

interface PlannedFile {
  readonly path: string;
  readonly description: string | null;
  readonly schema: TableSchema | null;
  readonly pieces: () => AsyncIterable<Uint8Array>;
}

/**
 * Writes a data package: see package-model.ts. All of it is of one instant, whatever is recorded meanwhile, and it is written as it is
 * read: no more than one trial is in memory.
 *
 * Errors: those of `finishTarget`; AppError 'block-corrupt', 'cancelled'.
 */
export const writePackage: Work<PackageWork, { readonly bytes: number }> = async (work, tools) => {
  const database = openSnapshot(work.databasePath);
  try {
    chooseRows(database, {
      trialIds: work.trialIds,
      calibrationIds: work.calibrationIds,
      toolIds: work.toolIds,
      isEverything: work.isEverything,
      ownBenchId: work.bench.id,
    });
    nameOwnBench(database, work.bench);
    const manifest: PackageManifest = {
      format: PACKAGE_FORMAT,
      bench: work.bench,
      softwareVersion: work.softwareVersion,
      schemaVersion: schemaVersionOf(database),
      definitionVersion: DEFINITION_VERSION,
      madeAt: work.madeAt,
      subject: work.subject,
      isSimulated: work.isSimulated,
    };
    const planned = planFiles(database, work, manifest, tools);
    const packed: PackedFile[] = [];
    const files: FileToPack[] = planned.map(({ path, description, schema, pieces }) => ({
      path,
      pieces,
      onWritten: ({ bytes, sha256 }) => {
        packed.push({ path, description, schema, bytes, sha256 });
      },
    }));
    // It names all others with their sizes and so comes last.
    files.push({
      path: MANIFEST_FILE,
      pieces: () =>
        textPieces([`${JSON.stringify(dataPackage(manifest, work.licence, packed), null, 1)}\n`], () =>
          tools.pause(),
        ),
      onWritten: () => undefined,
    });
    return await finishTarget(work.targetFile, async (part) => ({ bytes: await writeZip(part, files) }));
  } finally {
    database.close();
  }
};

/** One that never was named has no row yet, and this connection only reads. */
function nameOwnBench(database: ReadableDatabase, bench: PackageWork['bench']): void {
  database.exec('CREATE TEMP TABLE named_bench (id TEXT PRIMARY KEY, name TEXT NOT NULL) WITHOUT ROWID');
  database.exec('INSERT INTO named_bench SELECT id, name FROM bench JOIN chosen_bench ON key = id');
  database
    .prepare('INSERT OR REPLACE INTO named_bench SELECT key, ? FROM chosen_bench WHERE key = ?')
    .run(bench.name, bench.id);
}

function planFiles(
  database: ReadableDatabase,
  work: PackageWork,
  manifest: PackageManifest,
  tools: WorkTools,
): readonly PlannedFile[] {
  const pause = (): Promise<void> => tools.pause();
  const samples = samplesOf(database, tools);
  const ofText = (path: string, description: string, text: () => string): PlannedFile => ({
    path,
    description,
    schema: null,
    pieces: () => textPieces([text()], pause),
  });
  return [
    ofText(README_FILE, 'What this package is.', () => readmeText(manifest, samples.length, work.licence)),
    ofText(RECOMPUTE_FILE, 'Computes everything again; needs Node alone.', () =>
      readFileSync(work.recomputeFile, 'utf8'),
    ),
    ...packageTables.map((table) => ({
      path: tableFile(table.name),
      description: table.description,
      schema: tableSchemaOf(table),
      pieces: () => textPieces(tableLines(database, table, work.withPhotos), pause),
    })),
    ...samples.flatMap(({ countsPath, counts, arrivalsPath, arrivals }) => [
      { path: countsPath, description: null, schema: countsSchema, pieces: counts },
      { path: arrivalsPath, description: null, schema: arrivalsSchema, pieces: arrivals },
    ]),
    figuresOfPackage(database, FIGURES_FILE, pause),
    ...work.published.map(({ fileName, json }) =>
      ofText(`${PUBLISHED_FOLDER}${fileName}`, 'As it was shown.', () => json),
    ),
    ...(work.withPhotos ? photosOf(database) : []),
  ].toSorted((a, b) => (a.path < b.path ? -1 : 1));
}
