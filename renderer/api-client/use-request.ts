import { useCallback, useEffect, useState } from 'react';
import type { EventName, RequestName, RequestParams, RequestResult } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { useConnection, useLinkState } from './ConnectionContext.tsx';

export interface RequestState<Result> {
  /** The newest answer; it stays while a newer one is on its way, so that a list does not flicker. */
  readonly result: Result | null;
  readonly error: AppError | null;
  readonly isLoading: boolean;
  readonly reload: () => void;
}

interface Settled<Result> {
  readonly key: string;
  readonly result: Result | null;
  readonly error: AppError | null;
}

/**
 * Asks for something as long as a component shows it: again when the parameters change, when `refreshOn` says that
 * the answer is out of date, and after a reconnection. Null parameters ask for nothing.
 */
export function useRequest<Name extends RequestName>(
  name: Name,
  params: RequestParams<Name> | null,
  refreshOn?: EventName,
): RequestState<RequestResult<Name>> {
  const connection = useConnection();
  const isOpen = useLinkState() === 'open';
  const [askedTimes, setAskedTimes] = useState(0);
  const [settled, setSettled] = useState<Settled<RequestResult<Name>>>({
    key: '',
    result: null,
    error: null,
  });

  const reload = useCallback(() => setAskedTimes((times) => times + 1), []);
  useEffect(() => {
    if (refreshOn === undefined) return undefined;
    return connection.subscribe(refreshOn, reload);
  }, [connection, refreshOn, reload]);

  const paramsText = params === null ? null : JSON.stringify(params);
  const key = `${name} ${paramsText} ${askedTimes} ${isOpen}`;
  useEffect(() => {
    if (paramsText === null || !isOpen) return undefined;
    let isWanted = true;
    connection.request(name, JSON.parse(paramsText) as RequestParams<Name>).then(
      (result) => {
        if (isWanted) setSettled({ key, result, error: null });
      },
      (error: unknown) => {
        if (!(error instanceof AppError)) throw error;
        if (isWanted) setSettled((before) => ({ key, result: before.result, error }));
      },
    );
    return () => {
      isWanted = false;
    };
  }, [connection, name, paramsText, isOpen, key]);

  const isLoading = params !== null && isOpen && settled.key !== key;
  return { result: settled.result, error: settled.error, isLoading, reload };
}
