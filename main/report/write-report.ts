import type { Report } from '../../shared-lib/report/report-model.ts';
import type { Work } from '../work/work-tools.ts';

export interface ReportWork {
  readonly report: Report;
  readonly form: 'html' | 'pdf';
  readonly targetFile: string;
}

/** Writes a report as one file. */
export const writeReport: Work<ReportWork, { readonly bytes: number }> = () => {
  throw new Error('Not built yet');
};
