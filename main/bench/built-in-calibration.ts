import { randomUUID } from 'node:crypto';
import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import { getCalibration, insertCalibration, listCalibrations } from '../storage/calibration-repository.ts';
import type { WritableDatabase } from '../storage/database.ts';
import { setActiveCalibration } from '../storage/transducer-repository.ts';

/**
 * Puts the built-in calibration of the simulated bench in use, where none is. It has the same id on every bench, so it may have come with
 * the data of another one, even superseded there.
 */
export function useBuiltInCalibration(
  database: WritableDatabase,
  builtIn: CalibrationVersion,
): CalibrationVersion {
  const present = listCalibrations(database, builtIn.transducerId).find(({ id }) => id === builtIn.id);
  if (present === undefined) return insertCalibration(database, builtIn, null);
  if (present.supersededAt !== null)
    return insertCalibration(database, { ...builtIn, id: randomUUID() }, null);
  setActiveCalibration(database, builtIn.transducerId, builtIn.id);
  return getCalibration(database, builtIn.id);
}
