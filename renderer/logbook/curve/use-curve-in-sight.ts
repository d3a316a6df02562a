import { useCallback, useEffect, useRef, useState } from 'react';
import type { RequestParams, TrialCurve } from '../../../shared-lib/api-contract.ts';
import { AppError } from '../../../shared-lib/app-error.ts';
import { useConnection, useLinkState } from '../../api-client/ConnectionContext.tsx';
import type { CurveWindow } from './curve-window.ts';

/** What the picture shows: the newest stretch whose curve has come. It stays while the next is on its way. */
export interface CurveInSight {
  readonly curve: TrialCurve;
  readonly whole: CurveWindow;
  /** All of it, or a part. */
  readonly window: CurveWindow;
  readonly isWhole: boolean;
}

export interface WantedCurve {
  readonly trialId: string;
  /** How the torque is read; another calibration makes another curve. */
  readonly calibrationId: string;
  /** About as many as the picture is wide; null before it is known. */
  readonly bins: number | null;
  readonly withDisplay: boolean;
  readonly withFigures: boolean;
}

/** From what is asked for so far to what is to be; null: the whole. */
export type NextWindow = (seen: CurveWindow, whole: CurveWindow, rateHz: number) => CurveWindow | null;

export interface CurveLook {
  readonly inSight: CurveInSight | null;
  readonly error: AppError | null;
  /** Always the same function for the same wanted curve. */
  readonly look: (next: NextWindow) => void;
}

/**
 * What is in sight, fetched anew whenever something else is to be. The page is drawn once for a step, when all of it has come;
 * steps in a row go on from what was asked for, and what is overtaken is dropped.
 */
export function useCurveInSight(wanted: WantedCurve): CurveLook {
  const { trialId, calibrationId, bins, withDisplay, withFigures } = wanted;
  const connection = useConnection();
  const isOpen = useLinkState() === 'open';
  const [{ inSight, error }, setOutcome] = useState<Omit<CurveLook, 'look'>>({ inSight: null, error: null });
  const newest = useRef<RequestParams<'getTrialCurve'> | null>(null);
  /** Null: the whole. */
  const wantedWindow = useRef<CurveWindow | null>(null);

  const ask = useCallback(() => {
    if (bins === null || !isOpen) return;
    const window = wantedWindow.current;
    const { fromS, toS } = window ?? { fromS: null, toS: null };
    const request = { trialId, fromS, toS, bins, withDisplay, withFigures };
    newest.current = request;
    connection.request('getTrialCurve', request).then(
      (curve) => {
        if (newest.current !== request) return;
        const whole = { fromS: curve.startS, toS: curve.endS };
        setOutcome({
          inSight: { curve, whole, window: window ?? whole, isWhole: window === null },
          error: null,
        });
      },
      (failure: unknown) => {
        if (!(failure instanceof AppError)) throw failure;
        if (newest.current === request) setOutcome((before) => ({ ...before, error: failure }));
      },
    );
  }, [connection, isOpen, trialId, bins, withDisplay, withFigures]);

  useEffect(() => ask(), [ask, calibrationId]);

  const known = useRef<CurveInSight | null>(null);
  useEffect(() => {
    known.current = inSight;
  }, [inSight]);
  const look = useCallback(
    (next: NextWindow) => {
      if (known.current === null) return;
      const { whole, curve } = known.current;
      wantedWindow.current = next(wantedWindow.current ?? whole, whole, curve.sampleRateHz);
      ask();
    },
    [ask],
  );
  return { inSight, error, look };
}
