import { isDeepStrictEqual } from 'node:util';
import { AppError } from '../../shared-lib/app-error.ts';
import type { Arm, Site, Weight } from '../../shared-lib/calibration/standards-model.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import { listStandards } from '../storage/standards-repository.ts';

/** What a window has picked from the lists, as it knows them. */
interface PickedStandards {
  readonly weights: readonly Weight[];
  readonly arms: readonly Arm[];
  readonly sites: readonly Site[];
}

/**
 * A mass or a length that was put right since a window read it must not be calibrated with as it was. One that is on no list any more
 * stands as the window has it: there is nothing newer.
 *
 * Errors: AppError 'invalid-state'; `what` was not done.
 */
export function refuseChangedStandards(
  database: ReadableDatabase,
  picked: PickedStandards,
  what: string,
): void {
  const stored = listStandards(database);
  const all = new Map(
    [...stored.weights, ...stored.arms, ...stored.sites].map((standard) => [standard.id, standard]),
  );
  const changed = [...picked.weights, ...picked.arms, ...picked.sites].find((standard) => {
    const now = all.get(standard.id);
    return now !== undefined && !isDeepStrictEqual(now, standard);
  });
  if (changed === undefined) return;
  throw new AppError(
    'invalid-state',
    `"${changed.name}" was changed on its list since this window read it. ${what} Look at what it says there now, then go on with that.`,
    { standardId: changed.id },
  );
}
