import { useEffect, useState } from 'react';
import { AppError } from '../../../shared-lib/app-error.ts';
import type { RestorePreview } from '../../../shared-lib/backup/backup-requests.ts';
import type { Source } from '../../../shared-lib/exchange/exchange-requests.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';

export interface ChosenBackup {
  readonly source: Source;
  readonly name: string;
}

export type PreviewState =
  | { readonly stage: 'none' }
  | { readonly stage: 'reading' }
  | { readonly stage: 'refused'; readonly error: AppError }
  | { readonly stage: 'read'; readonly preview: RestorePreview };

/** What a chosen backup holds, once all of it has been read. */
export function useRestorePreview(chosen: ChosenBackup | null): PreviewState {
  const connection = useConnection();
  const [settled, setSettled] = useState<{ of: ChosenBackup; state: PreviewState } | null>(null);
  useEffect(() => {
    if (chosen === null) return undefined;
    let isWanted = true;
    const settle = (state: PreviewState): void => {
      if (isWanted) setSettled({ of: chosen, state });
    };
    connection.request('previewRestore', { source: chosen.source }).then(
      (preview) => settle({ stage: 'read', preview }),
      (error: unknown) => {
        if (!(error instanceof AppError)) throw error;
        settle({ stage: 'refused', error });
      },
    );
    return () => {
      isWanted = false;
    };
  }, [connection, chosen]);
  if (chosen === null) return { stage: 'none' };
  return settled?.of === chosen ? settled.state : { stage: 'reading' };
}
