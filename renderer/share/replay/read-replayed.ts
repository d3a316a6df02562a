import type { Connection } from '../../../shared-lib/api-contract.ts';
import { calibrationInShort } from '../../../shared-lib/charts/chart-notes.ts';
import { readingCalibrationId } from '../../../shared-lib/trial/assignment.ts';
import { type ReplayedTrial, replayedBins } from './replayed-trial.ts';

/** Trials in this order, each as it is now, with its curve and the calibration that it is read by. Errors: those of the requests. */
export function readReplayed(
  connection: Pick<Connection, 'request'>,
  trialIds: readonly string[],
): Promise<ReplayedTrial[]> {
  return Promise.all(
    trialIds.map(async (trialId): Promise<ReplayedTrial> => {
      const [{ record, calibration }, curve] = await Promise.all([
        readRecord(connection, trialId),
        connection.request('getTrialCurve', { trialId, fromS: null, toS: null, bins: replayedBins }),
      ]);
      return { record, curve, calibration };
    }),
  );
}

async function readRecord(
  connection: Pick<Connection, 'request'>,
  trialId: string,
): Promise<Pick<ReplayedTrial, 'record' | 'calibration'>> {
  const record = await connection.request('getTrial', { trialId });
  const calibrationId = readingCalibrationId(record);
  const report = await connection.request('getCalibrationReport', { calibrationId });
  return { record, calibration: calibrationInShort(report) };
}
