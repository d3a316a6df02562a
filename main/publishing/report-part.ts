import { createReportGatherer } from '../report/gather-report.ts';
import type { RequestHandlers } from '../services.ts';
import type { ShareTools } from '../share-tools.ts';
import { createChartsPart } from './charts-part.ts';

/** Reports in words, tables and pictures; `writeReport` makes a file of one. */
export function createReportPart(tools: ShareTools): {
  readonly handlers: Pick<RequestHandlers, 'getReport'>;
} {
  const gatherer = createReportGatherer(tools, createChartsPart(tools).handlers.getChart);
  return {
    handlers: {
      getReport: ({ subject, torqueUnit }) => gatherer.reportOf(subject, torqueUnit),
    },
  };
}
