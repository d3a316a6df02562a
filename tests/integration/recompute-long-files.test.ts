import { beforeAll, describe, expect, it } from 'vitest';
import { isRecordFile } from '../../shared-lib/package/package-tables.ts';
import { NotAPackage } from '../../shared-lib/recompute/not-a-package.ts';
import { MOST_TEXT_BYTES, type PackageFiles } from '../../shared-lib/recompute/package-files.ts';
import { recomputePackage } from '../../shared-lib/recompute/recompute-package.ts';
import { differences, type PackageInMemory } from './recompute-support/package-in-memory.ts';
import { makeSmallPackage } from './recompute-support/small-package.ts';

/** Files that no text is long enough for. */
let files: PackageInMemory;

beforeAll(async () => {
  ({ files } = await makeSmallPackage());
});

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
  /** `name` is said to be that long; nobody has a file of half a gigabyte at hand. */
  const withLong = (name: string, byteLength: number): PackageFiles => ({
    names: () => [...new Set([...files.names(), name])],
    bytes: async (asked) =>
      asked === name
        ? Object.defineProperty(new Uint8Array(await contentOf(name)), 'byteLength', { value: byteLength })
        : files.bytes(asked),
    text: (asked) =>
      asked === name && byteLength > MOST_TEXT_BYTES
        ? Promise.reject(new Error(`${asked} is too long for a text`))
        : files.text(asked),
  });
  const contentOf = async (name: string): Promise<Uint8Array> =>
    files.names().includes(name) ? files.bytes(name) : new Uint8Array();

  it.each(['datapackage.json', 'data/trial.csv', 'published/standings-1.json', 'tables/trial-figures.csv'])(
    'is not told to be wrong by %s: nothing is computed, and it is said why',
    async (name) => {
      const refused = recomputePackage(withLong(name, MOST_TEXT_BYTES + 1));
      await expect(refused).rejects.toThrow(NotAPackage);
      await expect(refused).rejects.toThrow(
        'It has 536870889 bytes, and no more than 536870888 of one file can be read here. That says nothing against the package: ask for one of fewer trials.',
      );
    },
  );

  it('is refused too where nobody vouches for the table', async () => {
    await expect(recomputePackage(withLong('data/other.csv', MOST_TEXT_BYTES + 1))).rejects.toThrow(
      NotAPackage,
    );
  });

  it('is looked at where something as long that is no table lies beside', async () => {
    const { findings } = await recomputePackage(withLong('video.webm', MOST_TEXT_BYTES + 1));
    expect(findings.map(({ where }) => where)).toEqual(['video.webm']);
  });

  it('is not refused where it is just short enough', async () => {
    const { findings } = await recomputePackage(withLong('data/other.txt', MOST_TEXT_BYTES));
    expect(findings.map(({ where }) => where)).toEqual(['data/other.txt']);
  });
});
