import { AppError } from '../../shared-lib/app-error.ts';
import type { logbookRequests } from '../../shared-lib/logbook/logbook-requests.ts';
import type { RequestHandlers } from '../services.ts';
import type { WritableDatabase } from '../storage/database.ts';
import { listTrials } from '../storage/trial-list.ts';

const later = (): never => {
  throw new AppError('internal', 'Not built yet.');
};

export function createLogbookParts({ database }: { readonly database: WritableDatabase }) {
  const handlers: Pick<RequestHandlers, keyof typeof logbookRequests> = {
    listTrials: (query) => listTrials(database, query),
    listTags: later,
    annotateTrial: later,
    relabelTrial: later,
    whatIfTrial: later,
    getWindowFigures: later,
    getRecomputation: later,
  };
  return { handlers };
}
