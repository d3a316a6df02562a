import { useEffect, useState } from 'react';
import { AppError } from '../../../shared-lib/app-error.ts';
import type { PackagePreview } from '../../../shared-lib/exchange/exchange-requests.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import type { ChosenFile } from '../../ui/chosen-file-keeper.ts';
import type { FileChoice } from '../../ui/use-chosen-file.ts';

export type PreviewState =
  | { readonly stage: 'none' }
  | { readonly stage: 'reading' }
  | { readonly stage: 'refused'; readonly error: AppError }
  | { readonly stage: 'read'; readonly preview: PackagePreview };

/** What a chosen package would change, once all of it has been read and checked. */
export function usePackagePreview({ chosen, needFor }: Pick<FileChoice, 'chosen' | 'needFor'>): PreviewState {
  const connection = useConnection();
  const [settled, setSettled] = useState<{ of: ChosenFile; state: PreviewState } | null>(null);
  useEffect(() => {
    if (chosen === null) return undefined;
    let isWanted = true;
    const settle = (state: PreviewState): void => {
      if (isWanted) setSettled({ of: chosen, state });
    };
    const asked = connection.request('previewPackage', { source: chosen.source });
    needFor(asked);
    asked.then(
      (preview) => settle({ stage: 'read', preview }),
      (error: unknown) => {
        if (!(error instanceof AppError)) throw error;
        settle({ stage: 'refused', error });
      },
    );
    return () => {
      isWanted = false;
    };
  }, [connection, chosen, needFor]);
  if (chosen === null) return { stage: 'none' };
  return settled?.of === chosen ? settled.state : { stage: 'reading' };
}
