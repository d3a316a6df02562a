import { useCallback, useEffect, useRef, useState } from 'react';
import { AppError } from '../../../shared-lib/app-error.ts';
import { useConnection, useLinkState } from '../../api-client/ConnectionContext.tsx';
import { type CurvePoint, pointsForTheEye } from '../../live-curve/earlier-curve.ts';

/** As many as are told apart at the width of the picture. */
const BINS = 600;

interface TrialCurves {
  /** By trial, as far as they have come; torque signed, forward positive. */
  readonly curves: ReadonlyMap<string, readonly CurvePoint[]>;
  readonly error: AppError | null;
  readonly askAgain: () => void;
}

/** The stored curves of several trials, asked for one after the other and kept while the page is open. */
export function useTrialCurves(trialIds: readonly string[]): TrialCurves {
  const connection = useConnection();
  const isOpen = useLinkState() === 'open';
  const held = useRef(new Map<string, readonly CurvePoint[]>());
  const [curves, setCurves] = useState<ReadonlyMap<string, readonly CurvePoint[]>>(new Map());
  const [error, setError] = useState<AppError | null>(null);
  const [attempt, setAttempt] = useState(0);
  const wanted = trialIds.join(' ');

  const askAgain = useCallback(() => setAttempt((times) => times + 1), []);
  // Another calibration gives a trial another curve.
  useEffect(
    () =>
      connection.subscribe('trialsChanged', ({ trialId }) => {
        if (held.current.delete(trialId)) askAgain();
      }),
    [connection, askAgain],
  );

  useEffect(() => {
    if (!isOpen || wanted === '') return undefined;
    let isWanted = true;
    const fetchAll = async (): Promise<void> => {
      let failure: AppError | null = null;
      for (const trialId of wanted.split(' ')) {
        if (held.current.has(trialId)) continue;
        try {
          const curve = await connection.request('getTrialCurve', {
            trialId,
            fromS: null,
            toS: null,
            bins: BINS,
          });
          held.current.set(trialId, pointsForTheEye(curve));
        } catch (refusal) {
          if (!(refusal instanceof AppError)) throw refusal;
          failure ??= refusal;
        }
        if (!isWanted) return;
        setCurves(new Map(held.current));
      }
      setCurves(new Map(held.current));
      setError(failure);
    };
    void fetchAll();
    return () => {
      isWanted = false;
    };
  }, [connection, wanted, isOpen, attempt]);

  return { curves, error, askAgain };
}
