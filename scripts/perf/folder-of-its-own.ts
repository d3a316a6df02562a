import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { PassingMeasurement } from './perf-run.ts';

/** What is measured has a new folder until its end, or until it cannot be prepared. */
export async function inFolderOfItsOwn(
  prepare: (folder: string) => Omit<PassingMeasurement, 'end'> | Promise<Omit<PassingMeasurement, 'end'>>,
): Promise<PassingMeasurement> {
  const folder = mkdtempSync(join(tmpdir(), 'proofarm-perf-'));
  const end = (): void => {
    rmSync(folder, { recursive: true, force: true });
  };
  try {
    return { ...(await prepare(folder)), end };
  } catch (error) {
    end();
    throw error;
  }
}
