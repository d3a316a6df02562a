import type { Work } from '../work/work-tools.ts';

export interface TablesWork {
  readonly databasePath: string;
  readonly trialIds: readonly string[];
  readonly targetFile: string;
  readonly separator: ',' | ';';
  readonly decimal: '.' | ',';
}

/** Writes a ZIP of CSV files for a spreadsheet. */
export const writeTables: Work<TablesWork, { readonly bytes: number }> = () => {
  throw new Error('Not built yet');
};
