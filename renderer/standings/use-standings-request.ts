import { useEffect } from 'react';
import type { EventName, RequestName, RequestParams, RequestResult } from '../../shared-lib/api-contract.ts';
import { useConnection } from '../api-client/ConnectionContext.tsx';
import { type RequestState, useRequest } from '../api-client/use-request.ts';

/** What standings are computed from can change by each of these. */
const causes: readonly EventName[] = ['standingsChanged', 'catalogueChanged', 'trialsChanged'];
/** One press can change tool, trial and table; what is computed from all of them is asked for once. */
const SETTLE_MS = 250;

/** A request whose answer rests on trials, tools and schemes: asked again when any of them is another. */
export function useStandingsRequest<Name extends RequestName>(
  name: Name,
  params: RequestParams<Name> | null,
): RequestState<RequestResult<Name>> {
  const connection = useConnection();
  const state = useRequest(name, params);
  const { reload } = state;
  useEffect(() => {
    let timer: ReturnType<typeof setTimeout> | undefined;
    const reloadSoon = () => {
      clearTimeout(timer);
      timer = setTimeout(reload, SETTLE_MS);
    };
    const stops = causes.map((cause) => connection.subscribe(cause, reloadSoon));
    return () => {
      clearTimeout(timer);
      for (const stop of stops) stop();
    };
  }, [connection, reload]);
  return state;
}
