import type { RequestHandlers } from '../services.ts';
import type { ShareTools } from '../share-tools.ts';

/** Names of benches. */
export function createBenchPart(_tools: ShareTools): {
  readonly handlers: Pick<RequestHandlers, 'listBenches' | 'nameBench'>;
} {
  const notBuilt = (): never => {
    throw new Error('Not built yet');
  };
  return { handlers: { listBenches: notBuilt, nameBench: notBuilt } };
}
