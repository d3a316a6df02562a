import { useMemo } from 'react';
import type { BenchStatus } from '../../../shared-lib/bench-status.ts';
import { useSettings } from '../../api-client/ConnectionContext.tsx';
import { useRequest } from '../../api-client/use-request.ts';
import { type HandlingQuestion, handlingQuestion, isHandlingAskedFor } from './handling-question.ts';
import { putOffKey, usePutOff } from './put-off.ts';

const NOTHING_ASKED: HandlingQuestion = { state: 'none' };
/** Enough to find out whether a tool was pulled before. */
const LOOKED_AT = 50;

/** What is to be answered before the figures of the trial in sight are shown. Asks nothing of the services while it is off. */
export function useHandlingQuestion(status: BenchStatus | null): HandlingQuestion {
  const settings = useSettings();
  const wasPutOff = usePutOff();
  const isOn = settings !== null && isHandlingAskedFor(settings);
  const kept = status?.trial.phase === 'kept' ? status.trial : null;
  const trialId = kept?.trialId ?? null;
  const catalogue = useRequest('listCatalogue', isOn ? {} : null, 'catalogueChanged');
  const record = useRequest('getTrial', isOn && trialId !== null ? { trialId } : null);
  const others = useRequest(
    'listTrials',
    isOn && kept !== null ? { search: kept.step.toolName, state: 'kept', offset: 0, limit: LOOKED_AT } : null,
  );
  const summary = record.result?.summary.id === trialId ? record.result.summary : null;
  const hasFailed = [catalogue, record, others].some(
    ({ error, result }) => error !== null && result === null,
  );
  return useMemo(() => {
    // The bench goes on where the catalogue cannot be asked.
    if (!isOn || trialId === null || hasFailed) return NOTHING_ASKED;
    return handlingQuestion({
      settings,
      summary,
      catalogue: catalogue.result,
      others: others.isLoading ? null : (others.result?.trials ?? null),
      isPutOff: (toolId) =>
        summary !== null && wasPutOff(putOffKey(summary.sessionId, settings.operator, toolId)),
    });
  }, [
    isOn,
    trialId,
    hasFailed,
    settings,
    summary,
    catalogue.result,
    others.isLoading,
    others.result,
    wasPutOff,
  ]);
}
