import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { PackageFiles } from '../../shared-lib/recompute/package-files.ts';
import { NotAPackage } from '../../shared-lib/recompute/not-a-package.ts';
import { LARGER_THAN_ANY, MOST_BYTES, openZip } from './open-zip.ts';

/**
 * The files of a package in a folder or in a ZIP, read one by one as they are asked for.
 *
 * Errors: NotAPackage where there is neither, or it is not to be read.
 */
export function openPackage(path: string): PackageFiles {
  if (!existsSync(path)) throw new NotAPackage(path, 'There is no such file or folder.');
  try {
    return statSync(path).isDirectory() ? openFolder(path) : openZip(path);
  } catch (cause) {
    if (cause instanceof NotAPackage) throw cause;
    throw new NotAPackage(
      path,
      `It cannot be read: ${cause instanceof Error ? cause.message : String(cause)}.`,
    );
  }
}

function openFolder(folder: string): PackageFiles {
  const names = plainFilesIn(folder).toSorted();
  const known = new Set(names);
  const read = (name: string): Buffer => {
    if (!known.has(name)) throw new NotAPackage(name, 'The file is not there.');
    const path = join(folder, name);
    if (statSync(path).size > MOST_BYTES) throw new NotAPackage(name, LARGER_THAN_ANY);
    return readFileSync(path);
  };
  return {
    names: () => names,
    bytes: (name) => Promise.resolve().then(() => read(name)),
    text: (name) => Promise.resolve().then(() => read(name).toString()),
  };
}

/** Folder by folder: Node's own recursion goes into links, which could lead anywhere, and no package has one. */
function plainFilesIn(folder: string, prefix = ''): readonly string[] {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    if (entry.isDirectory()) return plainFilesIn(join(folder, entry.name), `${prefix}${entry.name}/`);
    return entry.isFile() ? [`${prefix}${entry.name}`] : [];
  });
}
