import { existsSync, renameSync, rmSync } from 'node:fs';
import { dirname } from 'node:path';
import { AppError } from '../../shared-lib/app-error.ts';
import { translateFolderError } from '../storage/storage-errors.ts';
import { syncFolderIfPossible } from '../storage/sync-folder.ts';

/**
 * Makes a file or a folder under the name `<target>.part` and gives it its name when it is whole. Whatever goes wrong, nothing
 * of it stays, and nothing that was there before is touched.
 *
 * Errors: AppError 'disk-full', 'data-folder-unusable'; 'invalid-state' where there is something of that name.
 */
export async function finishTarget<Result>(
  target: string,
  write: (part: string) => Promise<Result>,
): Promise<Result> {
  const part = `${target}.part`;
  try {
    // What a program that was ended in the middle has left.
    rmSync(part, { recursive: true, force: true });
    // Before the work, so that nobody waits for it in vain; and after, since it may take minutes.
    refuseTaken(target);
    const result = await write(part);
    refuseTaken(target);
    renameSync(part, target);
    syncFolderIfPossible(dirname(target));
    return result;
  } catch (error) {
    rmSync(part, { recursive: true, force: true });
    throw translateFolderError(error, dirname(target));
  }
}

function refuseTaken(target: string): void {
  if (!existsSync(target)) return;
  throw new AppError(
    'invalid-state',
    `There is a file ${target} already; it was left as it is. Choose another name.`,
    { path: target },
  );
}
