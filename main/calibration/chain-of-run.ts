import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import type { CalibrationRun } from '../../shared-lib/calibration/run-model.ts';
import { getCalibration } from '../storage/calibration-repository.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import { getTransducer } from '../storage/transducer-repository.ts';

/** What is known of the chain that a run calibrates: its capacity, and the calibration in use where it holds for the chain. */
export function chainOfRun(
  database: ReadableDatabase,
  run: Pick<CalibrationRun, 'transducerId' | 'amplifierId'>,
): { readonly capacityNm: number | null; readonly inUse: CalibrationVersion | null } {
  const { activeCalibrationId, capacityNm } = getTransducer(database, run.transducerId);
  const inUse = activeCalibrationId === null ? null : getCalibration(database, activeCalibrationId);
  const isOfChain = inUse !== null && (inUse.amplifierId === null || inUse.amplifierId === run.amplifierId);
  return { capacityNm, inUse: isOfChain ? inUse : null };
}
