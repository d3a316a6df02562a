import { join } from 'node:path';
import type { publishingRequests } from '../../shared-lib/publishing/publishing-requests.ts';
import type { RequestHandlers } from '../services.ts';
import type { ShareTools } from '../share-tools.ts';
import { listTrials } from '../storage/trial-list.ts';
import { createChartsPart } from './charts-part.ts';
import { createSubjectReader } from './describe-subject.ts';
import { createPublishedGatherer } from './gather-published.ts';
import { createPublishedFiles } from './published-files.ts';
import { createPublisher } from './publisher.ts';
import { createReportPart } from './report-part.ts';

/** More are not looked through on a page. */
const MOST_LISTED = 500;

/** All that makes files for others. */
export function createPublishingParts(tools: ShareTools): {
  readonly handlers: Pick<RequestHandlers, keyof typeof publishingRequests>;
} {
  const { platform, jobs, emit } = tools;
  const files = createPublishedFiles(join(platform.dataFolder, 'published'), platform.log);
  void files.sweepAll().catch((cause: unknown) => {
    platform.log.warn('The folder of published files could not be looked through', { cause });
  });
  const subjects = createSubjectReader(tools);
  const report = createReportPart(tools);
  const publisher = createPublisher(tools, {
    files,
    subjects,
    gatherPublished: createPublishedGatherer(tools),
    getReport: report.handlers.getReport,
  });
  return {
    handlers: {
      describeSubject: ({ subject }) => subjects.describe(subject),
      async listReplayable({ subject }) {
        const ids = subject.kind === 'everything' ? null : (await subjects.describe(subject)).trialIds;
        return listTrials(tools.database, { search: '', state: 'kept', ids, offset: 0, limit: MOST_LISTED });
      },
      ...createChartsPart(tools).handlers,
      ...report.handlers,
      startPublishing: ({ order }) => publisher.start(order),
      cancelJob({ jobId }) {
        jobs.cancel(jobId);
        return {};
      },
      listJobs: () => ({ jobs: jobs.list() }),
      listPublished: async () => ({ folder: files.folder, files: await files.list() }),
      readPublished: ({ fileName, offset, length }) => files.read(fileName, offset, length),
      async removePublished({ fileName }) {
        await files.remove(fileName);
        emit('publishedChanged', {});
        return {};
      },
    },
  };
}
