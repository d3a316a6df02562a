import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type PackageBench, quietTools } from './package-support/package-bench.ts';
import { smallBench } from './package-support/package-parts.ts';

let bench: PackageBench;
beforeEach(async () => {
  bench = await smallBench();
});
afterEach(() => {
  bench.remove();
});

describe('a data package for which there is a file of its name', () => {
  it('is refused before it is written, and the file stays', async () => {
    const file = join(bench.folder, 'packed.zip');
    writeFileSync(file, 'mine');
    let pauses = 0;
    const written = bench.write(
      'packed.zip',
      {},
      {
        ...quietTools,
        pause: () => {
          pauses += 1;
          return Promise.resolve();
        },
      },
    );
    await expect(written).rejects.toMatchObject({ code: 'invalid-state' });
    expect(pauses).toBe(0);
    expect(readFileSync(file, 'utf8')).toBe('mine');
    expect(bench.leftBehind()).toEqual([]);
  });

  it('does not replace one that has come while it was written', async () => {
    const file = join(bench.folder, 'packed.zip');
    const written = bench.write(
      'packed.zip',
      {},
      {
        ...quietTools,
        pause: () => {
          writeFileSync(file, 'mine');
          return Promise.resolve();
        },
      },
    );
    await expect(written).rejects.toMatchObject({ code: 'invalid-state' });
    expect(readFileSync(file, 'utf8')).toBe('mine');
    expect(bench.leftBehind()).toEqual([]);
  });
});
