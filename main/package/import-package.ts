import type { Work } from '../work/work-tools.ts';

export interface PackageImport {
  readonly databasePath: string;
  readonly file: string;
  readonly fileName: string;
  readonly fingerprint: string;
  readonly importId: string;
  readonly at: string;
  readonly operator: string;
}

/** Takes a package in, all of it or nothing. */
export const importPackage: Work<PackageImport, { readonly sentence: string }> = () => {
  throw new Error('Not built yet');
};
