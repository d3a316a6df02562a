import { useEffect, useState } from 'react';
import { AppError } from '../../../shared-lib/app-error.ts';
import { useConnection, useLinkState } from '../../api-client/ConnectionContext.tsx';
import type { Transducer } from '../../../shared-lib/trial/trial-model.ts';
import type { TrialQuery } from '../trial-pages.ts';
import { fetchMatching, findVersionsInUse, type VersionsInUse } from './matching-trials.ts';

export interface TrialsToReassign {
  /** Their ids; null until they are known. */
  readonly trials: readonly string[] | null;
  readonly versionsInUse: VersionsInUse;
  /** Of the newest of them: only versions of its transducer can read it. Null: there is no trial, or it is not known yet. */
  readonly transducer: Transducer | null;
  readonly error: AppError | null;
}

const nothing: VersionsInUse = { counts: [], lookedAt: 0 };

/**
 * The trials named, or all that a filter finds where none is, with the versions they are read by now. The query must be
 * the same object for as long as the filter is the same.
 */
export function useTrialsToReassign(trialIds: readonly string[], query: TrialQuery): TrialsToReassign {
  const connection = useConnection();
  const isOpen = useLinkState() === 'open';
  const [found, setFound] = useState<TrialsToReassign>({
    trials: null,
    versionsInUse: nothing,
    transducer: null,
    error: null,
  });
  // As a text, because a list would be a new one at each drawing.
  const named = trialIds.join(' ');
  useEffect(() => {
    if (!isOpen) return undefined;
    let isWanted = true;
    const look = async (): Promise<TrialsToReassign> => {
      const trials =
        named === '' ? (await fetchMatching(connection, query)).map(({ id }) => id) : named.split(' ');
      const [newest] = trials;
      if (newest === undefined) return { trials, versionsInUse: nothing, transducer: null, error: null };
      const { conditions } = await connection.request('getTrial', { trialId: newest });
      const versionsInUse = await findVersionsInUse(connection, trials);
      return { trials, versionsInUse, transducer: conditions.transducer, error: null };
    };
    look().then(
      (all) => {
        if (isWanted) setFound(all);
      },
      (error: unknown) => {
        if (!(error instanceof AppError)) throw error;
        if (isWanted) setFound((before) => ({ ...before, error }));
      },
    );
    return () => {
      isWanted = false;
    };
  }, [connection, isOpen, named, query]);
  return found;
}
