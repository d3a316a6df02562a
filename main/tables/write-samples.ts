import type { Work } from '../work/work-tools.ts';

export interface SamplesWork {
  readonly databasePath: string;
  readonly bench: { readonly id: string; readonly name: string };
  readonly trialIds: readonly string[];
  readonly targetFolder: string;
}

/** Writes samples and figures as a folder of Parquet files. */
export const writeSamples: Work<SamplesWork, { readonly bytes: number }> = () => {
  throw new Error('Not built yet');
};
