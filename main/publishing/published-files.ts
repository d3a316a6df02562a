import { lstat, mkdir, open, readdir, rm } from 'node:fs/promises';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { AppError } from '../../shared-lib/app-error.ts';
import type { PublishedFile } from '../../shared-lib/publishing/publishing-model.ts';
import { freeName } from '../../shared-lib/publishing/published-name.ts';
import type { Logger } from '../platform/logger.ts';
import { errnoOf, translateFolderError } from '../storage/storage-errors.ts';

/** What the contract takes as a name. */
const LONGEST_NAME = 200;
/** Under this a file stands until it is whole. */
const UNFINISHED = '.part';

export interface PublishedFiles {
  readonly folder: string;
  /** Newest first; what is no plain file or folder, or not whole yet, is passed over. */
  list(): Promise<PublishedFile[]>;
  /** Errors: AppError 'published-not-found'; 'invalid-state' for a folder. */
  read(fileName: string, offset: number, length: number): Promise<{ bytes: Uint8Array; totalBytes: number }>;
  /** Errors: AppError 'published-not-found', 'storage-failed'. */
  remove(fileName: string): Promise<void>;
  /** A path at which there is nothing, in a folder that is there. Errors: those of a folder that cannot be used. */
  freeTarget(name: string): Promise<{ fileName: string; path: string }>;
  /** Takes away what a work that failed has left of a target, and what one that was cancelled had just finished. */
  sweep(path: string, why: 'failed' | 'cancelled'): Promise<void>;
  /** Takes away what the program could not finish before it ended. */
  sweepAll(): Promise<void>;
}

/** The folder of what was made for others. A name from a window leads to something directly inside it, or nowhere. */
export function createPublishedFiles(folder: string, log: Logger): PublishedFiles {
  const namesInside = async (): Promise<string[]> => {
    try {
      return await readdir(folder);
    } catch (error) {
      if (errnoOf(error) === 'ENOENT') return [];
      throw translateFolderError(error, folder);
    }
  };

  /** Null: neither a file nor a folder, such as a link that leads elsewhere, or gone in the meantime. */
  const factsOf = async (fileName: string): Promise<PublishedFile | null> => {
    const path = join(folder, fileName);
    try {
      const facts = await lstat(path);
      if (!facts.isFile() && !facts.isDirectory()) return null;
      const isFolder = facts.isDirectory();
      const bytes = isFolder ? await bytesBelow(path) : facts.size;
      return { fileName, path, bytes, madeAt: facts.mtime.toISOString(), isFolder };
    } catch (error) {
      if (errnoOf(error) === 'ENOENT') return null;
      throw translateFolderError(error, folder);
    }
  };

  const find = async (fileName: string): Promise<PublishedFile> => {
    const found = isPublishedName(fileName) ? await factsOf(fileName) : null;
    if (found !== null) return found;
    throw new AppError(
      'published-not-found',
      'There is no such file among the published ones: it was removed or renamed since. Nothing was changed. Choose one from the list, or make it again.',
      { fileName: fileName.slice(0, LONGEST_NAME) },
    );
  };

  return {
    folder,
    async list() {
      const found = await Promise.all((await namesInside()).filter(isPublishedName).map(factsOf));
      return found
        .filter((file) => file !== null)
        .sort(
          (one, other) =>
            other.madeAt.localeCompare(one.madeAt) || one.fileName.localeCompare(other.fileName),
        );
    },

    async read(fileName, offset, length) {
      const { path, isFolder } = await find(fileName);
      if (isFolder) {
        throw new AppError(
          'invalid-state',
          `${fileName} is a folder of many files, which a window cannot save in one piece. Nothing was changed. Copy it from ${path}.`,
          { fileName },
        );
      }
      const file = await open(path, 'r').catch((error: unknown) => {
        throw unreadable(fileName, error);
      });
      try {
        const { size: totalBytes } = await file.stat();
        const bytes = new Uint8Array(Math.max(0, Math.min(length, totalBytes - offset)));
        const { bytesRead } = await file.read(bytes, 0, bytes.length, offset);
        return { bytes: bytes.subarray(0, bytesRead), totalBytes };
      } catch (error) {
        throw unreadable(fileName, error);
      } finally {
        await file.close();
      }
    },

    async remove(fileName) {
      const { path } = await find(fileName);
      try {
        await rm(path, { recursive: true });
      } catch (error) {
        throw new AppError(
          'storage-failed',
          `${fileName} could not be removed. Nothing else was changed. Close whatever has it open, see that your user may write in ${folder}, then remove it again.`,
          { fileName },
          error,
        );
      }
    },

    async freeTarget(name) {
      try {
        await mkdir(folder, { recursive: true, mode: 0o700 });
      } catch (error) {
        throw translateFolderError(error, folder);
      }
      const fileName = freeName(
        name,
        (candidate) =>
          existsSync(join(folder, candidate)) || existsSync(join(folder, `${candidate}${UNFINISHED}`)),
      );
      return { fileName, path: join(folder, fileName) };
    },

    async sweep(path, why) {
      // A failure may come from somebody else's file that appeared there in the meantime.
      for (const left of [`${path}${UNFINISHED}`, ...(why === 'cancelled' ? [path] : [])]) {
        await rm(left, { recursive: true, force: true }).catch((cause: unknown) => {
          log.warn('What was left of an unfinished file could not be removed', { path: left, cause });
        });
      }
    },

    async sweepAll() {
      const unfinished = (await namesInside()).filter((name) => name.endsWith(UNFINISHED));
      for (const name of unfinished) {
        await rm(join(folder, name), { recursive: true, force: true }).catch((cause: unknown) => {
          log.warn('What was left of an unfinished file could not be removed', { path: name, cause });
        });
      }
    },
  };
}

/** No separator of any system, no way up, nothing hidden, nothing unfinished. */
function isPublishedName(name: string): boolean {
  return (
    name.length <= LONGEST_NAME &&
    !/[/\\:\0]/.test(name) &&
    !name.startsWith('.') &&
    !name.endsWith(UNFINISHED)
  );
}

async function bytesBelow(folder: string): Promise<number> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  const sizes = await Promise.all(
    entries
      .filter((entry) => entry.isFile())
      .map(async (entry) => (await lstat(join(entry.parentPath, entry.name))).size),
  );
  return sizes.reduce((sum, size) => sum + size, 0);
}

function unreadable(fileName: string, cause: unknown): AppError {
  return new AppError(
    'storage-failed',
    `${fileName} could not be read. Nothing was changed. See that the disk is there and that your user may read it, then save it again.`,
    { fileName },
    cause,
  );
}
