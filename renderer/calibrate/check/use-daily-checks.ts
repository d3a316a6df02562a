import type { RequestResult } from '../../../shared-lib/api-contract.ts';
import type { BenchStatus } from '../../../shared-lib/bench-status.ts';
import { useStatus } from '../../api-client/ConnectionContext.tsx';
import { type RequestState, useRequest } from '../../api-client/use-request.ts';
import { useReloadOn } from '../use-reload-on.ts';

/** The checks of the bench, also as other windows record them: of a check that touches no trial the status alone tells. */
export function useDailyChecks(): RequestState<RequestResult<'getDailyChecks'>> {
  const daily = useRequest('getDailyChecks', {}, 'trialsChanged');
  useReloadOn(newestCheckKey(useStatus()), daily.reload);
  return daily;
}

/** Another one where another check, or another calibration, is the newest by the status. */
export function newestCheckKey(status: Pick<BenchStatus, 'calibration'> | null): string {
  const calibration = status?.calibration;
  return calibration ? `${calibration.id} ${calibration.check.newestCheckId ?? 'none'}` : '';
}
