import { useEffect, useMemo, useState } from 'react';
import type { TrialCurve } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { Step } from '../../shared-lib/trial/step-model.ts';
import type { TrialSummary } from '../../shared-lib/trial/trial-model.ts';
import { useConnection, useLinkState } from '../api-client/ConnectionContext.tsx';
import { useRequest } from '../api-client/use-request.ts';
import { curveColorIndex } from '../live-curve/curve-style.ts';
import { type EarlierCurve, pointsForTheEye, rawPoints, shortenName } from '../live-curve/earlier-curve.ts';

const MOST_EARLIER = 3;
/** Enough trials to find three of a step among them. */
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

export interface EarlierWanted {
  readonly step: Step;
  /** Of the run sheet's next entry; null: trials one by one. */
  readonly setupId: string | null;
  /** The trial in sight, which is left out. */
  readonly currentId: string | null;
  /** Simulated and real ones never stand together. */
  readonly isSimulated: boolean;
}

/**
 * Kept trials to stand behind the live curve. With `isOwnWanted` the stored curve of the trial in sight comes apart, for
 * where the live trace is gone.
 */
export function useStoredCurves(wanted: EarlierWanted, isOwnWanted: boolean): StoredCurves {
  const { step, setupId, currentId, isSimulated } = wanted;
  const { kind, direction, plannedS } = step;
  const asked = { search: '', state: 'kept', kind, direction, offset: 0, limit: LOOKED_AT } as const;
  const { result: ofStep } = useRequest('listTrials', asked, 'trialsChanged');
  const { result: ofSetup } = useRequest(
    'listTrials',
    setupId === null ? null : { ...asked, setupId },
    'trialsChanged',
  );
  const summaries = useMemo(() => {
    const known = [...(ofSetup?.trials ?? []), ...(ofStep?.trials ?? [])];
    // Once a trial is kept the sheet has gone on, perhaps to another setup.
    const ownSetupId = known.find(({ id }) => id === currentId)?.setup?.setupId ?? setupId;
    return chooseEarlier(known, {
      step: { kind, direction, plannedS },
      setupId: ownSetupId,
      currentId,
      isSimulated,
    });
  }, [ofStep, ofSetup, kind, direction, plannedS, setupId, currentId, isSimulated]);
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

/**
 * With a run sheet the newest of the same setup and step, then of other setups and the same step; else the newest of the kind and
 * direction. The trials may hold one twice.
 */
export function chooseEarlier(
  trials: readonly TrialSummary[],
  wanted: Omit<EarlierWanted, 'step'> & { readonly step: Pick<Step, 'kind' | 'direction' | 'plannedS'> },
): TrialSummary[] {
  const { step, setupId, currentId, isSimulated } = wanted;
  const isOfSetup = (trial: TrialSummary): boolean => trial.setup?.setupId === setupId;
  const candidates = trials.filter(
    (trial) =>
      trial.state === 'kept' &&
      !trial.isVoided &&
      trial.id !== currentId &&
      trial.isSimulated === isSimulated &&
      trial.step.kind === step.kind &&
      trial.step.direction === step.direction &&
      (setupId === null || trial.step.plannedS === step.plannedS),
  );
  const once = [...new Map(candidates.map((trial) => [trial.id, trial])).values()];
  const byAge = once.toSorted((a, b) => b.startedAt.localeCompare(a.startedAt));
  if (setupId === null) return byAge.slice(0, MOST_EARLIER);
  return [...byAge.filter(isOfSetup), ...byAge.filter((trial) => !isOfSetup(trial))].slice(0, MOST_EARLIER);
}

function earlierCurve({ id, step, startedAt }: TrialSummary, curve: TrialCurve): EarlierCurve {
  return {
    trialId: id,
    label: `${shortenName(step.toolName)} ${timeOfDay.format(new Date(startedAt))}`,
    colorIndex: curveColorIndex(step.toolName),
    points: pointsForTheEye(curve),
  };
}

/**
 * Each is fetched once, and again when something has happened to its trial: another calibration may read it. A failed one is left
 * out, the Logbook says why.
 */
function useTrialCurves(wantedIds: readonly string[]): ReadonlyMap<string, TrialCurve> {
  const connection = useConnection();
  const isOpen = useLinkState() === 'open';
  const [curves, setCurves] = useState<ReadonlyMap<string, TrialCurve>>(new Map());
  // An answer that was on its way when its trial changed is not taken any more.
  const [changes, setChanges] = useState(0);
  useEffect(
    () =>
      connection.subscribe('trialsChanged', ({ trialId }) => {
        setChanges((count) => count + 1);
        setCurves((before) =>
          before.has(trialId) ? new Map([...before].filter(([id]) => id !== trialId)) : before,
        );
      }),
    [connection],
  );
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
  }, [connection, isOpen, wantedIds, curves, changes]);
  return curves;
}
