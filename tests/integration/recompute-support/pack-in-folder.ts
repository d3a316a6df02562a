import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { WritableDatabase } from '../../../main/storage/database.ts';
import { openDatabase } from '../../../main/storage/open-database.ts';
import { packDemo, type Published } from './pack-demo.ts';
import { PackageInMemory } from './package-in-memory.ts';

/** The package of a database that `fill` fills and publishes from; nothing of it stays on the disk. */
export async function packInFolder(
  fill: (database: WritableDatabase) => Promise<readonly Published[]>,
): Promise<PackageInMemory> {
  const folder = mkdtempSync(join(tmpdir(), 'proofarm-test-'));
  const databasePath = join(folder, 'proofarm.db');
  const database = openDatabase({
    filePath: databasePath,
    backupFolder: join(folder, 'backups'),
    now: () => new Date('2026-02-20T09:00:00.000Z'),
    log: { info: () => undefined, warn: () => undefined },
  });
  try {
    const published = await fill(database);
    const recomputeFile = join(folder, 'recompute.mjs');
    writeFileSync(recomputeFile, '// Stands in for the built one, which another test runs.\n');
    const targetFile = join(folder, 'packed.zip');
    await packDemo({ databasePath, targetFile, recomputeFile, published });
    return await PackageInMemory.read(targetFile);
  } finally {
    database.close();
    rmSync(folder, { recursive: true, force: true });
  }
}
