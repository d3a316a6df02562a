import type { Work } from './work-tools.ts';

/**
 * Everything that is done in a thread of its own. Loaded when it is asked for, since some bring a lot of code along.
 *
 * Inputs and results cross by structured clone. A work that writes a file writes it under the name it was given plus `.part` and renames it when
 * it is whole; whoever asked for it removes what a failure left.
 */
const works = {
  writePackage: async () => (await import('../package/write-package.ts')).writePackage,
  previewPackage: async () => (await import('../package/read-package.ts')).previewPackage,
  importPackage: async () => (await import('../package/import-package.ts')).importPackage,
  previewCurves: async () => (await import('../exchange/curves-preview.ts')).previewCurves,
  importCurves: async () => (await import('../exchange/curves-import.ts')).importCurves,
  writeReport: async () => (await import('../report/write-report.ts')).writeReport,
  writeTables: async () => (await import('../tables/write-tables.ts')).writeTables,
  writeSamples: async () => (await import('../tables/write-samples.ts')).writeSamples,
  writeBackup: async () => (await import('../backup/write-backup.ts')).writeBackup,
  copyBackup: async () => (await import('../backup/copy-backup.ts')).copyBackup,
  prepareRestore: async () => (await import('../backup/prepare-restore.ts')).prepareRestore,
  checkBackup: async () => (await import('../backup/check-backup.ts')).checkBackup,
} as const satisfies Record<string, () => Promise<Work<never, unknown>>>;

type Works = typeof works;
export type WorkName = keyof Works;
type Loaded<Name extends WorkName> = Awaited<ReturnType<Works[Name]>>;
export type WorkInput<Name extends WorkName> = Parameters<Loaded<Name>>[0];
export type WorkResult<Name extends WorkName> = Awaited<ReturnType<Loaded<Name>>>;

export async function loadWork(name: WorkName): Promise<Work<never, unknown>> {
  return works[name]();
}
