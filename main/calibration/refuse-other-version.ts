import { AppError } from '../../shared-lib/app-error.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';

/**
 * The reason why a version is replaced was written for the one that was shown.
 *
 * `shownId`: null where none was; undefined: nothing was shown. Errors: AppError 'bench-moved-on'.
 */
export function refuseOtherVersion(
  { activeCalibrationId }: Pick<Transducer, 'activeCalibrationId'>,
  shownId: string | null | undefined,
): void {
  if (shownId === undefined || shownId === activeCalibrationId) return;
  throw new AppError(
    'bench-moved-on',
    'Another calibration was put to use on this transducer since this window read it. Nothing was stored; look at which one is in use now, and say why the new one replaces that.',
    { activeCalibrationId },
  );
}

/** Errors: AppError 'bench-moved-on' where what was read is of another transducer than the one on the bench. */
export function refuseOtherTransducer(
  { id, name }: Pick<Transducer, 'id' | 'name'>,
  shownId: string | undefined,
): void {
  if (shownId === undefined || shownId === id) return;
  throw new AppError(
    'bench-moved-on',
    `This was begun for another transducer, and ${name} is on the bench now, whose counts mean something else. Nothing was stored; put the other one on the bench again, or begin anew for this one.`,
    { transducerId: id },
  );
}
