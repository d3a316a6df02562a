import { useEffect, useState } from 'react';
import type { RequestResult } from '../../../shared-lib/api-contract.ts';
import { AppError } from '../../../shared-lib/app-error.ts';
import type { Subject } from '../../../shared-lib/publishing/publishing-model.ts';
import { useConnection, useLinkState } from '../../api-client/ConnectionContext.tsx';
import { type RequestState, useRequest } from '../../api-client/use-request.ts';
import { readReplayed } from './read-replayed.ts';
import type { ReplayedTrial } from './replayed-trial.ts';

/** Trials of a subject that may be shown, null: of all; kept ones, blind keep holds for an audience too. */
export function useReplayTrials(subject: Subject | null): RequestState<RequestResult<'listReplayable'>> {
  return useRequest('listReplayable', { subject: subject ?? { kind: 'everything' } }, 'trialsChanged');
}

interface Replayed {
  /** Of which trials, whatever has become of them since. */
  readonly key: string;
  readonly trials: readonly ReplayedTrial[];
  readonly error: AppError | null;
}

/**
 * The chosen trials, in their order; the newest answer stays while another is asked for. Asks again when one of them is changed, as
 * where it is voided or read by another calibration in another window, and after a reconnection.
 */
export function useReplayed(trialIds: readonly string[]): Replayed & { readonly isLoading: boolean } {
  const connection = useConnection();
  const isOpen = useLinkState() === 'open';
  const [replayed, setReplayed] = useState<Replayed & { readonly asked: string }>({
    key: '',
    asked: '',
    trials: [],
    error: null,
  });
  const key = trialIds.join(' ');
  const changes = useChangesOf(key);
  const asked = `${key} ${changes} ${isOpen}`;
  useEffect(() => {
    if (!isOpen) return undefined;
    let isWanted = true;
    readReplayed(connection, idsOf(key)).then(
      (trials) => {
        if (isWanted) setReplayed({ key, asked, trials, error: null });
      },
      (error: unknown) => {
        if (!(error instanceof AppError)) throw error;
        if (isWanted) setReplayed({ key, asked, trials: [], error });
      },
    );
    return () => {
      isWanted = false;
    };
  }, [connection, isOpen, key, asked]);
  return { ...replayed, isLoading: isOpen && replayed.asked !== asked };
}

/** How often one of these trials was changed while they have been shown here. */
function useChangesOf(key: string): number {
  const connection = useConnection();
  const [count, setCount] = useState(0);
  useEffect(() => {
    const ids = new Set(idsOf(key));
    return connection.subscribe('trialsChanged', ({ trialId }) => {
      if (ids.has(trialId)) setCount((before) => before + 1);
    });
  }, [connection, key]);
  return count;
}

function idsOf(key: string): readonly string[] {
  return key === '' ? [] : key.split(' ');
}
