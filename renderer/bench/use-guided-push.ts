import { useCallback, useEffect, useRef } from 'react';
import type { AppError } from '../../shared-lib/app-error.ts';
import { useConnection } from '../api-client/ConnectionContext.tsx';
import { useAction } from '../api-client/use-action.ts';

export interface GuidedPush {
  readonly isWatching: boolean;
  /** Null also where the push was given up. */
  readonly error: AppError | null;
  /** True once the sense is stored. */
  readonly begin: () => Promise<boolean>;
  readonly giveUp: () => void;
}

/** The guided push that shows which way is clockwise. It is given up with the component: any touch would count later. */
export function useGuidedPush(): GuidedPush {
  const connection = useConnection();
  const { isBusy, error, run, clearError } = useAction();
  const { run: runGivingUp } = useAction();
  const isWatching = useRef(false);

  const begin = async (): Promise<boolean> => {
    isWatching.current = true;
    const isStored = await run(() => connection.request('confirmSense', {}));
    isWatching.current = false;
    return isStored;
  };
  const giveUp = useCallback(() => {
    clearError();
    if (isWatching.current) void runGivingUp(() => connection.request('giveUpSense', {}));
  }, [connection, clearError, runGivingUp]);
  useEffect(() => giveUp, [giveUp]);

  return { isWatching: isBusy, error: error?.code === 'cancelled' ? null : error, begin, giveUp };
}
