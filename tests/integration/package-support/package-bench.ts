import { createHash } from 'node:crypto';
import { existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import type { PackagePreview } from '../../../shared-lib/exchange/exchange-requests.ts';
import { importPackage, type PackageTaken } from '../../../main/package/import-package.ts';
import { previewPackage } from '../../../main/package/read-package.ts';
import { type PackageWork, writePackage } from '../../../main/package/write-package.ts';
import type { WritableDatabase } from '../../../main/storage/database.ts';
import { openDatabase } from '../../../main/storage/open-database.ts';
import type { WorkTools } from '../../../main/work/work-tools.ts';

export interface PackageBench {
  readonly folder: string;
  readonly database: WritableDatabase;
  readonly bench: { readonly id: string; readonly name: string };
  /** Of everything, unless asked otherwise. Returns the path. */
  write(fileName: string, changes?: Partial<PackageWork>, tools?: WorkTools): Promise<string>;
  preview(file: string): Promise<PackagePreview>;
  takeIn(file: string): Promise<PackageTaken>;
  /** Names of what lies in the folder besides the database. */
  leftBehind(): readonly string[];
  remove(): void;
}

export const quietTools: WorkTools = { progress: () => undefined, pause: () => Promise.resolve() };

/** A program's database with the works that write and read packages, each with connections of its own as in their threads. */
export function createPackageBench(bench: PackageBench['bench']): PackageBench {
  const folder = mkdtempSync(join(tmpdir(), 'proofarm-test-'));
  const databasePath = join(folder, 'proofarm.db');
  const database = openDatabase({
    filePath: databasePath,
    backupFolder: join(folder, 'backups'),
    now: () => new Date('2026-04-01T10:00:00.000Z'),
    log: { info: () => undefined, warn: () => undefined },
  });
  database.prepare('INSERT INTO bench (id, name, is_own) VALUES (?, ?, 1)').run(bench.id, bench.name);
  const recomputeFile = join(folder, 'recompute.mjs');
  writeFileSync(recomputeFile, '// A stand-in: what travels is copied as it is.\n');
  let imports = 0;
  const preview: PackageBench['preview'] = (file) => previewPackage({ databasePath, file }, quietTools);
  return {
    folder,
    database,
    bench,
    async write(fileName, changes = {}, tools = quietTools) {
      const targetFile = join(folder, fileName);
      await writePackage(
        {
          databasePath,
          targetFile,
          madeAt: '2026-04-01T10:00:00.000Z',
          softwareVersion: '0.1.0',
          bench,
          subject: 'Everything of a bench (demo)',
          trialIds: [],
          calibrationIds: [],
          toolIds: [],
          isEverything: true,
          isSimulated: true,
          published: [],
          withPhotos: true,
          licence: 'CC0-1.0',
          recomputeFile,
          ...changes,
        },
        tools,
      );
      return targetFile;
    },
    preview,
    async takeIn(file) {
      const { fingerprint } = await preview(file);
      imports += 1;
      return importPackage(
        {
          databasePath,
          file,
          fileName: basename(file),
          fingerprint,
          importId: `${createHash('sha256').update(file).digest('hex').slice(0, 8)}-${imports}`,
          at: `2026-04-02T10:00:0${imports}.000Z`,
          operator: 'Juno (demo)',
        },
        quietTools,
      );
    },
    leftBehind() {
      const incoming = join(folder, 'incoming');
      return [
        ...readdirSync(folder).filter((name) => name.endsWith('.part')),
        ...(existsSync(incoming) ? readdirSync(incoming) : []),
      ];
    },
    remove() {
      database.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
