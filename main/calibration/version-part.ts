import type { RequestResult } from '../../shared-lib/api-contract.ts';
import { compareVersions } from '../../shared-lib/calibration/compare-versions.ts';
import { getCalibration, getCalibrationResult } from '../storage/calibration-repository.ts';
import { countTrialsReadBy } from '../storage/calibration-use.ts';
import { listChecks } from '../storage/check-repository.ts';
import { getRun } from '../storage/run-repository.ts';
import type { CalibrationPart, CalibrationTools } from './calibration-tools.ts';
import { reassignTrials } from './reassign-trials.ts';

export type VersionPart = CalibrationPart<'getCalibrationReport' | 'compareCalibrations' | 'reassignTrials'>;

/** What a calibration was made of, how it stands beside another one, and which trials are read by it. */
export function createVersionPart(tools: CalibrationTools): VersionPart {
  const { database } = tools;
  let isClosed = false;

  const report = (calibrationId: string): RequestResult<'getCalibrationReport'> => {
    const version = getCalibration(database, calibrationId);
    return {
      version,
      run: version.runId === null ? null : getRun(database, version.runId),
      result: getCalibrationResult(database, calibrationId),
      checks: listChecks(database, calibrationId),
      trialCount: countTrialsReadBy(database, calibrationId),
    };
  };

  const versionWithResult = (id: string) => ({
    version: getCalibration(database, id),
    result: getCalibrationResult(database, id),
  });

  return {
    handlers: {
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
