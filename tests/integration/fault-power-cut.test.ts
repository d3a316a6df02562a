import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { createSeededRandom } from '../../shared-lib/simulation/seeded-random.ts';
import { createLossyDisk } from '../../scripts/faults/lossy-disk.ts';
import { canRecord, recordProgram } from '../../scripts/faults/record-program.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

/** The whole program is cut off by `npm run faults -- power`, a thousand times; here one part of it that is quick. */
describe.skipIf(!canRecord())('a power cut', () => {
  it('leaves a file that was said to be made whole, and before that the whole file or none', async () => {
    const script = fileURLToPath(new URL('fault-support/finish-a-file.ts', import.meta.url));
    const { folder, steps } = await recordProgram(temporaryFolder(), script, []);
    const disk = createLossyDisk(folder);
    const random = createSeededRandom(7, 1);
    const found: string[] = [];
    let isTold = false;
    for (const step of steps) {
      disk.perform(step);
      isTold ||= step.kind === 'mark';
      const left = mkdtempSync(join(temporaryFolder(), 'left-'));
      disk.cut(left, 'everything', random);
      const path = join(left, 'made');
      const content = existsSync(path) ? readFileSync(path, 'utf8') : 'none';
      expect(['none', 'whole '.repeat(2000)]).toContain(content);
      found.push(isTold && content === 'none' ? 'missing' : 'as told');
      rmSync(left, { recursive: true });
    }
    expect(isTold).toBe(true);
    expect(found).not.toContain('missing');
  });
});
