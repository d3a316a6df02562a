import type { Work } from '../work/work-tools.ts';

export interface PackageWork {
  readonly databasePath: string;
  readonly targetFile: string;
  readonly madeAt: string;
  readonly softwareVersion: string;
  readonly bench: { readonly id: string; readonly name: string };
  /** In words. */
  readonly subject: string;
  readonly trialIds: readonly string[];
  readonly isSimulated: boolean;
  /** Comparisons, standings and editions as they were shown: file name below `published/` and text. */
  readonly published: readonly { readonly fileName: string; readonly json: string }[];
  readonly withPhotos: boolean;
  readonly licence: string | null;
  /** The built script that travels along. */
  readonly recomputeFile: string;
}

/** Writes a data package: see package-model.ts. */
export const writePackage: Work<PackageWork, { readonly bytes: number }> = () => {
  throw new Error('Not built yet');
};
