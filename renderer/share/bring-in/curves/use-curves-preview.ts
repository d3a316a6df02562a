import { useEffect, useState } from 'react';
import { AppError } from '../../../../shared-lib/app-error.ts';
import type { CurveMapping, CurvesPreview } from '../../../../shared-lib/exchange/exchange-requests.ts';
import { useConnection } from '../../../api-client/ConnectionContext.tsx';
import type { ChosenFile } from '../../../ui/chosen-file-keeper.ts';
import type { FileChoice } from '../../../ui/use-chosen-file.ts';

export interface CurvesPreviewState {
  /** The newest that was read; it stays while the next one is on its way. */
  readonly preview: CurvesPreview | null;
  readonly error: AppError | null;
  readonly isReading: boolean;
}

/** What a chosen file would be taken in as, by its mapping; null: by a guess. Read anew with each change. */
export function useCurvesPreview(
  { chosen, needFor }: Pick<FileChoice, 'chosen' | 'needFor'>,
  mapping: CurveMapping | null,
): CurvesPreviewState {
  const connection = useConnection();
  const [settled, setSettled] = useState<{
    readonly of: ChosenFile;
    readonly by: CurveMapping | null;
    readonly preview: CurvesPreview | null;
    readonly error: AppError | null;
  } | null>(null);
  useEffect(() => {
    if (chosen === null) return undefined;
    let isWanted = true;
    const asked = connection.request('previewCurves', { source: chosen.source, mapping });
    needFor(asked);
    asked.then(
      (preview) => {
        if (isWanted) setSettled({ of: chosen, by: mapping, preview, error: null });
      },
      (error: unknown) => {
        if (!(error instanceof AppError)) throw error;
        if (isWanted) setSettled({ of: chosen, by: mapping, preview: null, error });
      },
    );
    return () => {
      isWanted = false;
    };
  }, [connection, chosen, mapping, needFor]);
  if (chosen === null || settled?.of !== chosen) {
    return { preview: null, error: null, isReading: chosen !== null };
  }
  return { preview: settled.preview, error: settled.error, isReading: settled.by !== mapping };
}
