import type { WritableDatabase } from '../../../main/storage/database.ts';
import { packInFolder } from './pack-in-folder.ts';
import { askedOf, publish } from './pack-demo.ts';
import type { PackageInMemory } from './package-in-memory.ts';
import { fillSmallWorkshop, PLANNED_S, type SmallWorkshopOptions, TABLE_ID } from './small-workshop.ts';

/** The package of the small workshop with two comparisons, its table and its edition. */
export async function makeSmallPackage(
  options: SmallWorkshopOptions & {
    /** What else is done before it is published; the edition was frozen before that. */
    readonly prepare?: (database: WritableDatabase) => Promise<void>;
  } = {},
): Promise<{
  readonly files: PackageInMemory;
  readonly runCalibrationId: string;
}> {
  let runCalibrationId = '';
  const files = await packInFolder(async (database) => {
    ({ runCalibrationId } = await fillSmallWorkshop(database, options));
    await options.prepare?.(database);
    const step = { kind: 'tighten', direction: 'forward', plannedS: PLANNED_S } as const;
    return publish(database, {
      comparisons: [
        askedOf('tarnwick-t6', 'hollin-h5', { step }),
        askedOf('hollin-h5', 'brindlow-b4', { step, measure: { figure: 'timeToLevel', levelNm: 123 } }),
      ],
      tableIds: [TABLE_ID],
      editionsOf: [TABLE_ID],
    });
  });
  return { files, runCalibrationId };
}
