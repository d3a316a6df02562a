import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { recompute } from '../../main/recompute/recompute-main.ts';
import { isRecordFile } from '../../shared-lib/package/package-tables.ts';
import { recomputePackage } from '../../shared-lib/recompute/recompute-package.ts';
import { differences, type PackageInMemory } from './recompute-support/package-in-memory.ts';
import { makeSmallPackage } from './recompute-support/small-package.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

/** Files that no text is long enough for, with a shorter limit in the place of the engine's. */
let files: PackageInMemory;

beforeAll(async () => {
  ({ files } = await makeSmallPackage());
});

async function inFolder(packed: PackageInMemory): Promise<string> {
  const folder = temporaryFolder();
  for (const name of packed.names()) {
    mkdirSync(dirname(join(folder, name)), { recursive: true });
    writeFileSync(join(folder, name), await packed.bytes(name));
  }
  return folder;
}

async function longestFileOfText(): Promise<number> {
  const tables = files.names().filter((name) => !isRecordFile(name));
  const sizes = await Promise.all(tables.map(async (name) => (await files.bytes(name)).byteLength));
  return Math.max(...sizes);
}

describe('a package with a record longer than any text', () => {
  it('is computed again, since records are read from their bytes', async () => {
    const records: string[] = [];
    const report = await recomputePackage({
      names: () => files.names(),
      bytes(name) {
        if (isRecordFile(name)) records.push(name);
        return files.bytes(name);
      },
      text: (name) =>
        isRecordFile(name) ? Promise.reject(new Error(`${name} is too long for a text`)) : files.text(name),
    });
    expect(differences(report)).toEqual([]);
    expect(records.length).toBeGreaterThan(report.trialCount);
  });
});

describe('a package with a table longer than any text', () => {
  const called = async (mostTextBytes: number, packed = files) => {
    let [written, complained] = ['', ''];
    const code = await recompute(
      [await inFolder(packed)],
      {
        as: 'recompute',
        write: (text) => (written += text),
        complain: (text) => (complained += text),
      },
      mostTextBytes,
    );
    return { code, written, complained };
  };

  it('is not told to be wrong: nothing is computed, and it is said why', async () => {
    const limit = (await longestFileOfText()) - 1;
    const { code, written, complained } = await called(limit);
    expect([code, written]).toEqual([2, '']);
    expect(complained).toContain(
      `It has ${limit + 1} bytes, and no more than ${limit} of one file can be read here. That says nothing against the package: ask for one of fewer trials.`,
    );
  });

  it('is not told to be wrong by what was published either', async () => {
    const limit = await longestFileOfText();
    const longer = files.copy();
    longer.rewrite('published/standings-1.json', (json) => json.padEnd(limit + 1, ' '));
    longer.seal();
    const { code, complained } = await called(limit, longer);
    expect(code).toBe(2);
    expect(complained).toContain('published/standings-1.json: It has ');
  });

  it('agrees where it is just short enough', async () => {
    expect((await called(await longestFileOfText())).code).toBe(0);
  });
});
