import type { RecomputeReport } from '../package/package-model.ts';
import { checkFiles } from './check-files.ts';
import { checkRows } from './check-rows.ts';
import { checkTrials } from './check-trials.ts';
import { NotAPackage } from './not-a-package.ts';
import type { PackageFiles } from './package-files.ts';
import { readTables } from './read-tables.ts';
import { recomputeCalibrations } from './recompute-calibrations.ts';
import { recomputeChecks } from './recompute-checks.ts';
import { recomputeFiguresTable } from './recompute-figures-table.ts';
import { recomputePublished } from './recompute-published.ts';
import { recomputeTrials } from './recompute-trials.ts';
import { readCalibrations } from './stored-calibrations.ts';
import { readTrials } from './stored-trials.ts';
import { readSuspectWindows } from './suspect-windows.ts';
import { createTally, type FigureKind } from './tally.ts';

export type { PackageFiles } from './package-files.ts';

/**
 * Computes again what a data package says, from its raw counts, and finds every figure that comes out otherwise.
 *
 * Numbers agree where they are the same to the last digit; a relative 1e-12 is allowed to another version of Node, and told. What a
 * package cannot show is a note and no difference. Raw counts that were invented together with all that follows from them agree:
 * nobody can tell these from measured ones here.
 *
 * Errors: NotAPackage where it is none of this program, of another format, or has a table too long to be read as a text, so
 * that nothing was computed.
 */
export async function recomputePackage(files: PackageFiles): Promise<RecomputeReport> {
  const tally = createTally();
  const { manifest, fingerprint } = await checkFiles(files, tally);
  const report = (kind: FigureKind) => (error: NotAPackage) => {
    tally.differ(kind, error.where, error.message);
  };
  let trialCount = 0;
  try {
    const tables = await readTables(files);
    checkRows(tables, tally);
    const calibrations = readCalibrations(tables, report('calibrations'));
    const trials = readTrials(tables, report('states and names of trials'));
    trialCount = trials.length;
    checkTrials(tables, trials, tally);
    recomputeCalibrations(tables, calibrations, tally);
    recomputeChecks(tables, calibrations, tally);
    const windows = readSuspectWindows(tables);
    const recomputed = await recomputeTrials({ files, calibrations, windows, trials }, tally);
    await recomputeFiguresTable(files, { windows, recomputed }, tally);
    await recomputePublished({ files, tables, manifest, calibrations, windows, recomputed }, tally);
  } catch (error) {
    if (!(error instanceof NotAPackage)) throw error;
    // What rests on it cannot be computed; what was found before stays in the report.
    tally.differ('rows', error.where, `${error.message} What rests on it was not computed again.`);
  }
  return { fingerprint, trialCount, ...tally.result() };
}
