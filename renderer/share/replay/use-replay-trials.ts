import { useEffect, useState } from 'react';
import { AppError } from '../../../shared-lib/app-error.ts';
import type { Subject } from '../../../shared-lib/publishing/publishing-model.ts';
import type { TrialSummary } from '../../../shared-lib/trial/trial-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useRequest } from '../../api-client/use-request.ts';
import { type ReplayedTrial, replayedBins } from './replay-chart.ts';

/** As many as one page of the list of trials may have. */
const MOST_LISTED = 500;

export interface ReplayTrials {
  /** Newest first; null: still asked for. */
  readonly trials: readonly TrialSummary[] | null;
  readonly error: AppError | null;
  readonly reload: () => void;
}

/** Trials of a subject that may be shown: kept ones, blind keep holds for an audience too. */
export function useReplayTrials(subject: Subject | null): ReplayTrials {
  const described = useRequest('describeSubject', subject === null ? null : { subject }, 'trialsChanged');
  const listed = useRequest(
    'listTrials',
    { search: '', state: 'kept', offset: 0, limit: MOST_LISTED },
    'trialsChanged',
  );
  const isOfAll = subject === null || subject.kind === 'everything';
  const ids = described.result === null ? null : new Set(described.result.trialIds);
  const all = listed.result?.trials ?? null;
  const trials =
    all === null || (!isOfAll && ids === null)
      ? null
      : all.filter(({ id }) => isOfAll || ids?.has(id) === true);
  return {
    trials,
    error: described.error ?? listed.error,
    reload() {
      described.reload();
      listed.reload();
    },
  };
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
