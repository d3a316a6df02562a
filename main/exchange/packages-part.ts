import type { RequestHandlers } from '../services.ts';
import type { ShareTools } from '../share-tools.ts';
import type { Uploads } from './uploads.ts';
/** Data packages of other benches. */
export function createPackagesPart(
  _tools: ShareTools,
  _uploads: Uploads,
): {
  readonly handlers: Pick<RequestHandlers, 'previewPackage' | 'importPackage' | 'listImports'>;
} {
  const notBuilt = (): never => {
    throw new Error('Not built yet');
  };
  return { handlers: { previewPackage: notBuilt, importPackage: notBuilt, listImports: notBuilt } };
}
