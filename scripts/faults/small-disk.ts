import { execFileSync } from 'node:child_process';
import { closeSync, fsyncSync, mkdirSync, mkdtempSync, openSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { errnoOf } from '../../main/storage/storage-errors.ts';

/** A disk of a few megabytes that can be filled to its last byte. */
export interface SmallDisk {
  readonly path: string;
  /** Takes all the space that is left. */
  fill(): void;
  /** Gives it back. */
  empty(): void;
  remove(): void;
}

/** Whether this user may mount a file system in memory here: the superuser on Linux as a rule, also not in every container. */
export function canMountSmallDisk(): boolean {
  const path = mkdtempSync(join(tmpdir(), 'proofarm-small-disk-'));
  try {
    execFileSync('mount', mountArguments(path, 1), { stdio: 'ignore' });
    execFileSync('umount', [path]);
    return true;
  } catch {
    // Whatever the system says, the answer is the same.
    return false;
  } finally {
    rmSync(path, { recursive: true });
  }
}

/** Mounts one in memory at `path`. Errors: where this user may not. */
export function mountSmallDisk(path: string, megabytes: number): SmallDisk {
  if (!canMountSmallDisk()) {
    throw new Error(
      'A disk that is full is a small file system mounted for it, which this user may not do here. Run it as root on Linux.',
    );
  }
  mkdirSync(path, { recursive: true });
  execFileSync('mount', mountArguments(path, megabytes));
  const ballast = join(path, 'ballast');
  return {
    path,
    fill() {
      const file = openSync(ballast, 'a');
      try {
        // In halves down to single pages, so that the very last one is taken too.
        for (let bytes = 2 ** 20; bytes >= 4096;) if (!isWritten(file, bytes)) bytes /= 2;
        fsyncSync(file);
      } finally {
        closeSync(file);
      }
    },
    empty() {
      rmSync(ballast, { force: true });
    },
    remove() {
      execFileSync('umount', [path]);
      rmSync(path, { recursive: true, force: true });
    },
  };
}

function mountArguments(path: string, megabytes: number): string[] {
  return ['-t', 'tmpfs', '-o', `size=${megabytes}m`, 'proofarm-small-disk', path];
}

function isWritten(file: number, bytes: number): boolean {
  try {
    return writeSync(file, new Uint8Array(bytes)) === bytes;
  } catch (error) {
    if (errnoOf(error) !== 'ENOSPC') throw error;
    return false;
  }
}
