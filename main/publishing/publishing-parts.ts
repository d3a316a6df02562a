import type { publishingRequests } from '../../shared-lib/publishing/publishing-requests.ts';
import type { RequestHandlers } from '../services.ts';
import type { ShareTools } from '../share-tools.ts';

/** All that makes files for others. */
export function createPublishingParts(_tools: ShareTools): {
  readonly handlers: Pick<RequestHandlers, keyof typeof publishingRequests>;
} {
  const notBuilt = (): never => {
    throw new Error('Not built yet');
  };
  return {
    handlers: {
      describeSubject: notBuilt,
      getChart: notBuilt,
      getReport: notBuilt,
      startPublishing: notBuilt,
      cancelJob: notBuilt,
      listJobs: notBuilt,
      listPublished: notBuilt,
      readPublished: notBuilt,
      removePublished: notBuilt,
    },
  };
}
