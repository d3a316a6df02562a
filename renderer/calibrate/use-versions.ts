import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';
import { useStatus } from '../api-client/ConnectionContext.tsx';
import { type RequestState, useRequest } from '../api-client/use-request.ts';

export interface VersionsView extends Pick<RequestState<unknown>, 'error' | 'reload'> {
  /** Null until the first answer. */
  readonly versions: readonly CalibrationVersion[] | null;
  readonly active: CalibrationVersion | null;
  /** The transducer they belong to; without an amplifier the real one, as the services have it. */
  readonly transducer: Transducer | null;
}

/** The calibration versions of the transducer on the bench, newest first as they come. */
export function useVersions(): VersionsView {
  const status = useStatus();
  const { result: transducerList } = useRequest('listTransducers', {});
  const { result, error, reload } = useRequest('listCalibrations', {});
  const transducer =
    status?.transducer ?? transducerList?.transducers.find(({ isSimulated }) => !isSimulated) ?? null;
  const versions = result?.calibrations.filter(({ transducerId }) => transducerId === transducer?.id) ?? null;
  const active = versions?.find(({ supersededAt }) => supersededAt === null) ?? null;
  return { versions, active, transducer, error, reload };
}
