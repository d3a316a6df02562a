import type { RequestHandlers } from '../services.ts';
import type { ShareTools } from '../share-tools.ts';
import type { Uploads } from './uploads.ts';
/** Curves of a file as trials. */
export function createCurvesPart(
  _tools: ShareTools,
  _uploads: Uploads,
): {
  readonly handlers: Pick<RequestHandlers, 'previewCurves' | 'importCurves'>;
} {
  const notBuilt = (): never => {
    throw new Error('Not built yet');
  };
  return { handlers: { previewCurves: notBuilt, importCurves: notBuilt } };
}
