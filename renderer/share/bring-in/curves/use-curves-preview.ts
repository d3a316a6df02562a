import { useEffect, useState } from 'react';
import { AppError } from '../../../../shared-lib/app-error.ts';
import type {
  CurveMapping,
  CurvesPreview,
  Source,
} from '../../../../shared-lib/exchange/exchange-requests.ts';
import { useConnection } from '../../../api-client/ConnectionContext.tsx';

export interface ChosenCurves {
  readonly source: Source;
  readonly name: string;
}

export interface CurvesPreviewState {
  /** The newest that was read; it stays while the next one is on its way. */
  readonly preview: CurvesPreview | null;
  readonly error: AppError | null;
  readonly isReading: boolean;
}

/** What a chosen file would be taken in as, by its mapping; null: by a guess. Read anew with each change. */
export function useCurvesPreview(
  chosen: ChosenCurves | null,
  mapping: CurveMapping | null,
): CurvesPreviewState {
  const connection = useConnection();
  const [settled, setSettled] = useState<{
    readonly of: ChosenCurves;
    readonly by: CurveMapping | null;
    readonly preview: CurvesPreview | null;
    readonly error: AppError | null;
  } | null>(null);
  useEffect(() => {
    if (chosen === null) return undefined;
    let isWanted = true;
    connection.request('previewCurves', { source: chosen.source, mapping }).then(
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
  }, [connection, chosen, mapping]);
  if (chosen === null || settled?.of !== chosen) {
    return { preview: null, error: null, isReading: chosen !== null };
  }
  return { preview: settled.preview, error: settled.error, isReading: settled.by !== mapping };
}
