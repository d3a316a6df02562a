import type { RequestParams, RequestResult } from '../../shared-lib/api-contract.ts';
import type { RequestHandlers } from '../services.ts';
import type { ShareTools } from '../share-tools.ts';
import { startWork } from '../work/start-work.ts';
import type { Uploads } from './uploads.ts';

/** Curves of a file as trials. */
export function createCurvesPart(
  tools: ShareTools,
  uploads: Uploads,
): {
  readonly handlers: Pick<RequestHandlers, 'previewCurves' | 'importCurves'>;
} {
  const { platform, databasePath, settings } = tools;

  /** At once rather than in the queue: a person turns it over and over, and waits for its picture. */
  const preview = async ({
    source,
    mapping,
  }: RequestParams<'previewCurves'>): Promise<RequestResult<'previewCurves'>> => {
    const { path, fileName } = uploads.fileOf(source);
    return startWork(platform, 'previewCurves', { databasePath, file: path, fileName, mapping }).done;
  };

  const takeIn = async ({
    source,
    ...asked
  }: RequestParams<'importCurves'>): Promise<RequestResult<'importCurves'>> => {
    const { path, fileName } = uploads.fileOf(source);
    const letGo = tools.holdBench('Taking curves in');
    try {
      const { trialIds } = await startWork(platform, 'importCurves', {
        databasePath,
        file: path,
        fileName,
        asked,
        levelsNm: settings.current().levelsNm,
        softwareVersion: platform.softwareVersion,
        operator: tools.operator(),
        at: platform.clock.now().toISOString(),
      }).done;
      uploads.drop(source);
      for (const trialId of trialIds) tools.trialsChanged(trialId);
      tools.emit('catalogueChanged', {});
      tools.emit('standingsChanged', {});
      return { trialIds: [...trialIds] };
    } finally {
      letGo();
    }
  };

  return { handlers: { previewCurves: preview, importCurves: takeIn } };
}
