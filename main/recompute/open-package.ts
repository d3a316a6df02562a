import { type Dirent, existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { join, relative, sep } from 'node:path';
import type { PackageFiles } from '../../shared-lib/recompute/package-files.ts';
import { NotAPackage } from '../../shared-lib/recompute/not-a-package.ts';
import { openZip } from './open-zip.ts';

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
  const names = readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter(isPlainFile)
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)).split(sep).join('/'))
    .toSorted();
  const known = new Set(names);
  const read = (name: string): Buffer => {
    if (!known.has(name)) throw new NotAPackage(name, 'The file is not there.');
    return readFileSync(join(folder, name));
  };
  return {
    names: () => names,
    bytes: (name) => Promise.resolve().then(() => read(name)),
    text: (name) => Promise.resolve().then(() => read(name).toString()),
  };
}

/** A link could lead anywhere, and no package has one. */
function isPlainFile(entry: Dirent): boolean {
  return entry.isFile() && !entry.isSymbolicLink();
}
