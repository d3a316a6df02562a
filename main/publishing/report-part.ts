import type { RequestHandlers } from '../services.ts';
import type { ShareTools } from '../share-tools.ts';

export function createReportPart(_tools: ShareTools): { readonly handlers: Pick<RequestHandlers, 'getReport'> } {
  const notBuilt = (): never => {
    throw new Error('Not built yet');
  };
  return { handlers: { getReport: notBuilt } };
}
