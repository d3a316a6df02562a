import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';
import { useStatus } from '../api-client/ConnectionContext.tsx';
import { type RequestState, useRequest } from '../api-client/use-request.ts';
import type { CalibrationInUse } from './overview-sentences.ts';
import { useReloadOn } from './use-reload-on.ts';

export interface VersionsView extends Pick<RequestState<unknown>, 'error'> {
  /** Null until they are known. */
  readonly versions: readonly CalibrationVersion[] | null;
  readonly active: CalibrationVersion | null;
  /** The transducer they belong to; where nothing was connected yet the one that calibrations are made for then. */
  readonly transducer: Transducer | null;
  /** How long the active one holds and how its check stands, likewise; null: there is none; undefined: not known yet. */
  readonly inUse: CalibrationInUse | null | undefined;
}

/** The calibration versions of the transducer on the bench, newest first as they come. */
export function useVersions(): VersionsView {
  const status = useStatus();
  const onBench = status?.transducer ?? null;
  const {
    result: standing,
    error: standingError,
    reload: reloadStanding,
  } = useRequest('getCalibrationInUse', status === null || onBench !== null ? null : {}, 'trialsChanged');
  const transducer = onBench ?? standing?.transducer ?? null;
  const {
    result: list,
    error,
    isLoading,
  } = useRequest(
    'listCalibrations',
    transducer === null ? null : { transducerId: transducer.id },
    'calibrationsChanged',
  );
  const own = list?.calibrations.filter(({ transducerId }) => transducerId === transducer?.id) ?? null;
  // The list of another transducer says nothing of this one.
  const versions = isLoading && own?.length === 0 ? null : own;
  const active = versions?.find(({ supersededAt }) => supersededAt === null) ?? null;
  useReloadOn(active?.id ?? '', reloadStanding);
  const inUse = onBench === null ? standing?.calibration : status?.calibration;
  return { versions, active, transducer, inUse, error: error ?? standingError };
}
