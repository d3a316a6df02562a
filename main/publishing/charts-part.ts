import type { RequestHandlers } from '../services.ts';
import type { ShareTools } from '../share-tools.ts';

export function createChartsPart(_tools: ShareTools): { readonly handlers: Pick<RequestHandlers, 'getChart'> } {
  const notBuilt = (): never => {
    throw new Error('Not built yet');
  };
  return { handlers: { getChart: notBuilt } };
}
