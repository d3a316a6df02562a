import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';

/** A folder of its own for the test that asks, gone when it is over. */
export function temporaryFolder(): string {
  const path = mkdtempSync(join(tmpdir(), 'proofarm-storage-'));
  onTestFinished(() => {
    rmSync(path, { recursive: true, force: true });
  });
  return path;
}
