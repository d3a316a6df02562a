import { useEffect, useMemo, useState } from 'react';
import type { TrialCurve } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { Direction } from '../../shared-lib/trial/step-model.ts';
import type { TrialSummary } from '../../shared-lib/trial/trial-model.ts';
import { useConnection, useLinkState } from '../api-client/ConnectionContext.tsx';
import { useRequest } from '../api-client/use-request.ts';
import { curveColorIndex } from '../live-curve/curve-style.ts';
import { type EarlierCurve, pointsForTheEye, rawPoints, shortenName } from '../live-curve/earlier-curve.ts';

const MOST_EARLIER = 3;
/** Enough trials to find three of one direction among them. */
const LOOKED_AT = 30;
const CURVE_BINS = 1000;

const timeOfDay = new Intl.DateTimeFormat(undefined, {
  hour: '2-digit',
  minute: '2-digit',
  hourCycle: 'h23',
});

export interface StoredCurves {
  /** Newest first. */
  readonly earlier: readonly EarlierCurve[];
  readonly own: EarlierCurve | null;
}

/**
 * The newest kept trials of a direction, to stand behind the live curve; simulated and real ones never together. `currentId` is left out of them; with
 * `isOwnWanted` its stored curve comes apart, for where the live trace is gone.
 */
export function useStoredCurves(
  direction: Direction,
  currentId: string | null,
  isOwnWanted: boolean,
  isSimulated: boolean,
): StoredCurves {
  const { result } = useRequest(
    'listTrials',
    { search: '', state: 'kept', offset: 0, limit: LOOKED_AT },
    'trialsChanged',
  );
  const summaries = useMemo(
    () => chooseEarlier(result?.trials ?? [], direction, currentId, isSimulated),
    [result, direction, currentId, isSimulated],
  );
  const ownId = isOwnWanted ? currentId : null;
  const wantedIds = useMemo(
    () => [...summaries.map(({ id }) => id), ...(ownId === null ? [] : [ownId])],
    [summaries, ownId],
  );
  const curves = useTrialCurves(wantedIds);
  return useMemo(() => {
    const ownCurve = ownId === null ? undefined : curves.get(ownId);
    return {
      earlier: summaries.flatMap((summary) => {
        const curve = curves.get(summary.id);
        return curve === undefined ? [] : [earlierCurve(summary, curve)];
      }),
      own:
        ownCurve === undefined
          ? null
          : { trialId: ownCurve.trialId, label: 'this run', colorIndex: 0, points: rawPoints(ownCurve) },
    };
  }, [summaries, curves, ownId]);
}

export function chooseEarlier(
  trials: readonly TrialSummary[],
  direction: Direction,
  currentId: string | null,
  isSimulated: boolean,
): TrialSummary[] {
  return trials
    .filter((trial) => trial.state === 'kept' && !trial.isVoided && trial.id !== currentId)
    .filter((trial) => trial.step.direction === direction && trial.isSimulated === isSimulated)
    .toSorted((a, b) => b.startedAt.localeCompare(a.startedAt))
    .slice(0, MOST_EARLIER);
}

function earlierCurve({ id, step, startedAt }: TrialSummary, curve: TrialCurve): EarlierCurve {
  return {
    trialId: id,
    label: `${shortenName(step.toolName)} ${timeOfDay.format(new Date(startedAt))}`,
    colorIndex: curveColorIndex(step.toolName),
    points: pointsForTheEye(curve),
  };
}

/** A stored curve never changes, so each is fetched once; a failed one is left out, the Logbook says why. */
function useTrialCurves(wantedIds: readonly string[]): ReadonlyMap<string, TrialCurve> {
  const connection = useConnection();
  const isOpen = useLinkState() === 'open';
  const [curves, setCurves] = useState<ReadonlyMap<string, TrialCurve>>(new Map());
  useEffect(() => {
    if (!isOpen) return undefined;
    let isWanted = true;
    const missing = wantedIds.filter((trialId) => !curves.has(trialId));
    if (missing.length === 0) return undefined;
    const fetchAll = missing.map((trialId) =>
      connection
        .request('getTrialCurve', { trialId, fromS: null, toS: null, bins: CURVE_BINS })
        .catch((error: unknown) => {
          if (error instanceof AppError) return null;
          throw error;
        }),
    );
    void Promise.all(fetchAll).then((fetched) => {
      const found = fetched.filter((curve) => curve !== null);
      if (!isWanted || found.length === 0) return;
      setCurves((before) => {
        const known = new Map([...before].filter(([trialId]) => wantedIds.includes(trialId)));
        for (const curve of found) known.set(curve.trialId, curve);
        return known;
      });
    });
    return () => {
      isWanted = false;
    };
  }, [connection, isOpen, wantedIds, curves]);
  return curves;
}
