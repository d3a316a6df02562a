import type { RequestResult } from '../../shared-lib/api-contract.ts';
import { compareVersions } from '../../shared-lib/calibration/compare-versions.ts';
import { getCalibration, getCalibrationResult } from '../storage/calibration-repository.ts';
import { countTrialsMadeWith, countTrialsReadBy } from '../storage/calibration-use.ts';
import { listChecks } from '../storage/check-repository.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import { getRun } from '../storage/run-repository.ts';
import type { CalibrationPart, CalibrationTools } from './calibration-tools.ts';
import { reassignTrials } from './reassign-trials.ts';

export type VersionPart = CalibrationPart<
  'getCalibrationInUse' | 'getCalibrationReport' | 'compareCalibrations' | 'reassignTrials'
>;

/** Which calibration is in use, what it was made of, how it stands beside another one, and which trials are read by it. */
export function createVersionPart(tools: CalibrationTools): VersionPart {
  const { database, bench, calibrationInUse } = tools;
  let isClosed = false;

  const report = (calibrationId: string): RequestResult<'getCalibrationReport'> => {
    const version = getCalibration(database, calibrationId);
    return {
      version,
      run: version.runId === null ? null : getRun(database, version.runId),
      result: getCalibrationResult(database, calibrationId),
      checks: listChecks(database, calibrationId),
      trialCount: countTrialsReadBy(database, calibrationId),
      madeWithCount: countTrialsMadeWith(database, calibrationId),
    };
  };

  const inUse = (): RequestResult<'getCalibrationInUse'> => {
    const transducer = bench.activeTransducer();
    const { activeCalibrationId } = transducer;
    return {
      transducer,
      calibration:
        activeCalibrationId === null
          ? null
          : calibrationInUse.view(getCalibration(database, activeCalibrationId)),
    };
  };

  const versionWithResult = (id: string) => ({
    version: getCalibration(database, id),
    result: getCalibrationResult(database, id),
  });

  return {
    handlers: {
      // The first transducer is made by this where there is none yet.
      getCalibrationInUse: () => retryWhenLocked(inUse),
      getCalibrationReport: ({ calibrationId }) => report(calibrationId),
      compareCalibrations: ({ calibrationId, otherId }) =>
        compareVersions(versionWithResult(calibrationId), versionWithResult(otherId)),
      async reassignTrials(request) {
        return { changedCount: await reassignTrials(tools, request, () => isClosed) };
      },
    },
    receive: () => undefined,
    amplifierLost: () => undefined,
    tick: () => undefined,
    close() {
      isClosed = true;
    },
  };
}
