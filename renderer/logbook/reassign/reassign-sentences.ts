import type { CalibrationVersion } from '../../../shared-lib/calibration/calibration-model.ts';
import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import type { VersionsInUse } from './matching-trials.ts';

type Labelled = Pick<CalibrationVersion, 'id' | 'label'>;

/** `versions`: of all transducers, since trials of several may be chosen together. */
export function labelOf(calibrationId: string, versions: readonly Labelled[]): string {
  return versions.find(({ id }) => id === calibrationId)?.label ?? calibrationId;
}

/** By which versions the chosen trials are read now; likewise. */
export function inUseSentence(
  { counts, lookedAt }: VersionsInUse,
  versions: readonly Labelled[],
  total: number,
): string {
  const shares = counts.map(
    ({ calibrationId, count }) => `${formatNumber(count, 0)} by “${labelOf(calibrationId, versions)}”`,
  );
  const which = lookedAt < total ? `Of the newest ${formatNumber(lookedAt, 0)}: ` : 'Read now: ';
  return `${which}${shares.join(', ')}.`;
}

/** Why there is no other version to choose; null: there is one. `ofTransducer`: all of the transducer that the trials were made on. */
export function nothingToChooseSentence(
  ofTransducer: readonly Pick<Labelled, 'id'>[],
  { counts }: VersionsInUse,
  transducerName: string,
): string | null {
  const isOther = ofTransducer.some(({ id }) => counts.some(({ calibrationId }) => calibrationId !== id));
  return isOther
    ? null
    : `There is no other calibration of “${transducerName}”, and only one of the transducer that a trial was made on can read its counts. Make one in Calibrate while it is on the bench; for trials of another bench bring in a package that holds one.`;
}
