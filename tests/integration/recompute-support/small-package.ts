import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { WritableDatabase } from '../../../main/storage/database.ts';
import { openDatabase } from '../../../main/storage/open-database.ts';
import { askedOf, packDemo, publish } from './pack-demo.ts';
import { PackageInMemory } from './package-in-memory.ts';
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
  const folder = mkdtempSync(join(tmpdir(), 'proofarm-test-'));
  const databasePath = join(folder, 'proofarm.db');
  const database = openDatabase({
    filePath: databasePath,
    backupFolder: join(folder, 'backups'),
    now: () => new Date('2026-02-20T09:00:00.000Z'),
    log: { info: () => undefined, warn: () => undefined },
  });
  try {
    const { runCalibrationId } = await fillSmallWorkshop(database, options);
    await options.prepare?.(database);
    const step = { kind: 'tighten', direction: 'forward', plannedS: PLANNED_S } as const;
    const published = await publish(database, {
      comparisons: [
        askedOf('tarnwick-t6', 'hollin-h5', { step }),
        askedOf('hollin-h5', 'brindlow-b4', { step, measure: { figure: 'timeToLevel', levelNm: 123 } }),
      ],
      tableIds: [TABLE_ID],
      editionsOf: [TABLE_ID],
    });
    const recomputeFile = join(folder, 'recompute.mjs');
    writeFileSync(recomputeFile, '// Stands in for the built one, which another test runs.\n');
    const targetFile = join(folder, 'small.zip');
    await packDemo({ databasePath, targetFile, recomputeFile, published });
    return { files: await PackageInMemory.read(targetFile), runCalibrationId };
  } finally {
    database.close();
    rmSync(folder, { recursive: true, force: true });
  }
}
