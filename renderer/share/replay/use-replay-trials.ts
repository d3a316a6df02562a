import { useEffect, useState } from 'react';
import type { RequestResult } from '../../../shared-lib/api-contract.ts';
import { AppError } from '../../../shared-lib/app-error.ts';
import type { Subject } from '../../../shared-lib/publishing/publishing-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { type RequestState, useRequest } from '../../api-client/use-request.ts';
import { type ReplayedTrial, replayedBins } from './replay-chart.ts';

/** Trials of a subject that may be shown, null: of all; kept ones, blind keep holds for an audience too. */
export function useReplayTrials(subject: Subject | null): RequestState<RequestResult<'listReplayable'>> {
  return useRequest('listReplayable', { subject: subject ?? { kind: 'everything' } }, 'trialsChanged');
}

interface Replayed {
  readonly key: string;
  readonly trials: readonly ReplayedTrial[];
  readonly error: AppError | null;
}

/** Records and curves of the chosen trials, in their order; the newest answer stays while another is asked for. */
export function useReplayed(trialIds: readonly string[]): Replayed & { readonly isLoading: boolean } {
  const connection = useConnection();
  const [replayed, setReplayed] = useState<Replayed>({ key: '', trials: [], error: null });
  const key = trialIds.join(' ');
  useEffect(() => {
    let isWanted = true;
    const ids = key === '' ? [] : key.split(' ');
    Promise.all(
      ids.map(async (trialId): Promise<ReplayedTrial> => {
        const [record, curve] = await Promise.all([
          connection.request('getTrial', { trialId }),
          connection.request('getTrialCurve', { trialId, fromS: null, toS: null, bins: replayedBins }),
        ]);
        return { record, curve };
      }),
    ).then(
      (trials) => {
        if (isWanted) setReplayed({ key, trials, error: null });
      },
      (error: unknown) => {
        if (!(error instanceof AppError)) throw error;
        if (isWanted) setReplayed({ key, trials: [], error });
      },
    );
    return () => {
      isWanted = false;
    };
  }, [connection, key]);
  return { ...replayed, isLoading: replayed.key !== key };
}
