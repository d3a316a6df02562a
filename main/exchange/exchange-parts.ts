import type { exchangeRequests } from '../../shared-lib/exchange/exchange-requests.ts';
import type { RequestHandlers } from '../services.ts';
import type { ShareTools } from '../share-tools.ts';
import { createBenchPart } from './bench-part.ts';
import { createCurvesPart } from './curves-part.ts';
import { createPackagesPart } from './packages-part.ts';
import type { Uploads } from './uploads.ts';

/** All that takes files in. */
export function createExchangeParts(
  tools: ShareTools,
  uploads: Uploads,
): { readonly handlers: Pick<RequestHandlers, keyof typeof exchangeRequests> } {
  return {
    handlers: {
      ...uploads.handlers,
      ...createBenchPart(tools).handlers,
      ...createPackagesPart(tools, uploads).handlers,
      ...createCurvesPart(tools, uploads).handlers,
    },
  };
}
