import { AppError } from '../../shared-lib/app-error.ts';
import { farthestFromZero } from '../../shared-lib/signal/farthest-from-zero.ts';
import { overloadLimitNm } from '../../shared-lib/trial/assess-quality.ts';
import type { LiveSamples } from '../acquisition/acquisition-service.ts';
import { insertOverload } from '../storage/check-repository.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import type { CalibrationTools } from './calibration-tools.ts';

/** Ours: a reading that passes the limit again within this time belongs to the same overload, as blow follows blow. */
const SAME_OVERLOAD_US = 5_000_000;

/** Notes overloads with the calibration in use, in a trial or not: it has to be checked again then. */
export function createOverloadWatch(tools: CalibrationTools): (samples: LiveSamples) => void {
  const { database, bench, platform, calibrationInUse } = tools;
  let lastOverUs = -Infinity;

  const store = (transducerId: string, calibrationId: string, torqueNm: number): void => {
    const overload = { transducerId, calibrationId, at: platform.clock.now().toISOString(), torqueNm };
    void Promise.resolve()
      .then(() =>
        retryWhenLocked(() => {
          insertOverload(database, overload);
          calibrationInUse.changed();
          tools.statusChanged();
        }),
      )
      .catch((cause: unknown) => {
        // The program may have ended while it was tried again; it is also a fault of the trial it fell into.
        if (!(cause instanceof AppError) && database.open) throw cause;
        platform.log.error('An overload could not be kept', { code: 'storage-failed', cause });
      });
  };

  return ({ block, torqueNm }) => {
    if (!torqueNm) return;
    const transducer = bench.activeTransducer();
    const limitNm = overloadLimitNm(transducer);
    if (limitNm === null || transducer.activeCalibrationId === null) return;
    const greatest = farthestFromZero(torqueNm);
    if (Math.abs(greatest) <= limitNm) return;
    const isAnother = block.arrivalUs - lastOverUs > SAME_OVERLOAD_US;
    lastOverUs = block.arrivalUs;
    if (isAnother) store(transducer.id, transducer.activeCalibrationId, greatest);
  };
}
