import { useEffect, useState } from 'react';
import { AppError } from '../../../shared-lib/app-error.ts';
import type { PackagePreview, Source } from '../../../shared-lib/exchange/exchange-requests.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';

export interface ChosenPackage {
  readonly source: Source;
  readonly name: string;
}

export type PreviewState =
  | { readonly stage: 'none' }
  | { readonly stage: 'reading' }
  | { readonly stage: 'refused'; readonly error: AppError }
  | { readonly stage: 'read'; readonly preview: PackagePreview };

/** What a chosen package would change, once all of it has been read and checked. */
export function usePackagePreview(chosen: ChosenPackage | null): PreviewState {
  const connection = useConnection();
  const [settled, setSettled] = useState<{ of: ChosenPackage; state: PreviewState } | null>(null);
  useEffect(() => {
    if (chosen === null) return undefined;
    let isWanted = true;
    const settle = (state: PreviewState): void => {
      if (isWanted) setSettled({ of: chosen, state });
    };
    connection.request('previewPackage', { source: chosen.source }).then(
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
