import { useMemo } from 'react';
import type { BenchStatus } from '../../../shared-lib/bench-status.ts';
import { useSettings } from '../../api-client/ConnectionContext.tsx';
import { useRequest } from '../../api-client/use-request.ts';
import { useReloadOn } from '../../compare/use-reload-on.ts';
import { type HandlingQuestion, handlingQuestion, isHandlingAskedFor } from './handling-question.ts';
import { putOffKey, usePutOffs } from './put-off.ts';

const NOTHING_ASKED: HandlingQuestion = { state: 'none' };
/** A tool may be renamed, merged or put away. */
const toolsChange = ['catalogueChanged', 'runSheetsChanged'] as const;

/** What is to be answered before the figures of the trial in sight are shown. Asks nothing of the services while it is off. */
export function useHandlingQuestion(status: BenchStatus | null): HandlingQuestion {
  const settings = useSettings();
  const putOffs = usePutOffs();
  const isOn = settings !== null && isHandlingAskedFor(settings);
  const trialId = status?.trial.phase === 'kept' ? status.trial.trialId : null;
  const wanted = isOn && trialId !== null ? { trialId } : null;
  const catalogue = useRequest('listCatalogue', isOn ? {} : null, 'catalogueChanged');
  const record = useRequest('getTrial', wanted);
  const shown = useRequest('getFiguresShown', wanted, 'trialsChanged');
  useReloadOn(toolsChange, shown.reload);
  const summary = record.result?.summary.id === trialId ? record.result.summary : null;
  const hasFailed = [catalogue, record, shown].some(({ error, result }) => error !== null && result === null);
  return useMemo(() => {
    // The bench goes on where the catalogue cannot be asked.
    if (!isOn || trialId === null || hasFailed) return NOTHING_ASKED;
    return handlingQuestion({
      settings,
      summary,
      catalogue: catalogue.result,
      shown: shown.result?.trialId === trialId ? shown.result : null,
      isPutOff: (toolId) =>
        summary !== null && putOffs.has(putOffKey(summary.sessionId, settings.operator, toolId)),
      isPutOffByAnyone: (toolId) => summary !== null && putOffs.hasOfAnyone(summary.sessionId, toolId),
    });
  }, [isOn, trialId, hasFailed, settings, summary, catalogue.result, shown.result, putOffs]);
}
