import type { PackageManifest } from '../package/package-model.ts';
import type { PackageFiles } from './package-files.ts';
import type { PackageTables } from './read-tables.ts';
import type { RecomputedTrial } from './recompute-trials.ts';
import type { StoredCalibrations } from './stored-calibrations.ts';
import type { SuspectWindows } from './suspect-windows.ts';

/** All of a package that what was published can rest on. */
export interface PackageState {
  readonly files: PackageFiles;
  readonly tables: PackageTables;
  readonly manifest: PackageManifest;
  readonly calibrations: StoredCalibrations;
  readonly windows: SuspectWindows;
  readonly recomputed: readonly RecomputedTrial[];
}
