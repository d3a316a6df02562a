import type { exchangeRequests } from '../../shared-lib/exchange/exchange-requests.ts';
import type { RequestHandlers } from '../services.ts';
import type { ShareTools } from '../share-tools.ts';

/** All that takes files in. */
export function createExchangeParts(_tools: ShareTools): {
  readonly handlers: Pick<RequestHandlers, keyof typeof exchangeRequests>;
} {
  const notBuilt = (): never => {
    throw new Error('Not built yet');
  };
  return {
    handlers: {
      beginUpload: notBuilt,
      appendUpload: notBuilt,
      dropUpload: notBuilt,
      listBenches: notBuilt,
      nameBench: notBuilt,
      previewPackage: notBuilt,
      importPackage: notBuilt,
      previewCurves: notBuilt,
      importCurves: notBuilt,
      listImports: notBuilt,
    },
  };
}
