import { expect } from 'vitest';
import { checkFiles } from '../../../shared-lib/recompute/check-files.ts';
import { createTally } from '../../../shared-lib/recompute/tally.ts';
import { differences, type PackageInMemory } from './package-in-memory.ts';

/**
 * That a tampering is found: by the checksum of `file` as it lies there, and by computing again, in the words `told`, where the
 * tamperer has made all checksums right.
 */
export async function expectFoundIn(
  whole: PackageInMemory,
  tamper: (files: PackageInMemory) => void,
  { file, told }: { readonly file: string; readonly told: RegExp },
): Promise<void> {
  const files = whole.copy();
  tamper(files);
  const tally = createTally();
  await checkFiles(files, tally);
  expect(tally.result().findings.map(({ where }) => where)).toContain(file);

  files.seal();
  const report = await files.recompute();
  expect(report.counts.find(({ what }) => what === 'files')).toMatchObject({ differing: 0 });
  expect(differences(report).join('\n')).toMatch(told);
}
