import { createHash } from 'node:crypto';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { unzipSync, zipSync, type Zippable } from 'fflate';
import { beginTrial, finishRecording } from '../../../main/storage/recording-repository.ts';
import { block, ended, newTrial, seedBench, storeTrial } from '../storage-support/bench-fixture.ts';
import { createPackageBench, type PackageBench } from './package-bench.ts';

export type PackageParts = Record<string, Uint8Array>;

export const smallTrial = 'trial-1';

/** A bench with two short trials, and a package of it as its files. */
export async function smallBench(id = 'bench-a', name = 'Bench A'): Promise<PackageBench> {
  const bench = createPackageBench({ id, name });
  const transducer = seedBench(bench.database);
  storeTrial(bench.database, transducer, 'kept');
  beginTrial(bench.database, newTrial(transducer, { id: 'trial-2' }), [block(0, [10, -20, 30])]);
  finishRecording(bench.database, 'trial-2', ended('kept'));
  return Promise.resolve(bench);
}

export function partsOf(file: string): PackageParts {
  return unzipSync(readFileSync(file));
}

export function textOf(parts: PackageParts, path: string): string {
  return Buffer.from(parts[path] ?? []).toString('utf8');
}

export function withText(parts: PackageParts, path: string, change: (text: string) => string): PackageParts {
  const text = textOf(parts, path);
  const changed = change(text);
  if (changed === text) throw new Error(`Nothing was changed in ${path}`);
  return { ...parts, [path]: Buffer.from(changed) };
}

interface Descriptor {
  proofarm: Record<string, unknown>;
  resources: { path: string; bytes: number; hash: string }[];
}

export function withDescriptor(parts: PackageParts, change: (descriptor: Descriptor) => void): PackageParts {
  const descriptor = JSON.parse(textOf(parts, 'datapackage.json')) as Descriptor;
  change(descriptor);
  return { ...parts, 'datapackage.json': Buffer.from(JSON.stringify(descriptor)) };
}

/** As whoever changes a package and knows how it is made would do it: sizes and SHA-256 fit again. */
export function resealed(parts: PackageParts): PackageParts {
  return withDescriptor(parts, ({ resources }) => {
    for (const resource of resources) {
      const bytes = parts[resource.path];
      if (!bytes) continue;
      resource.bytes = bytes.length;
      resource.hash = `sha256:${createHash('sha256').update(bytes).digest('hex')}`;
    }
  });
}

export function writeParts(folder: string, fileName: string, parts: Zippable): string {
  const file = join(folder, fileName);
  writeFileSync(file, zipSync(parts));
  return file;
}

/** Changes bytes of a ZIP in all headers that name a file: as a program never would. */
export function patchHeaders(
  zip: Uint8Array,
  name: string,
  patch: (header: DataView, isCentral: boolean, nameOffset: number) => void,
): Uint8Array {
  const bytes = Uint8Array.from(zip);
  const view = new DataView(bytes.buffer);
  for (let at = 0; at + 46 <= bytes.length; at += 1) {
    const signature = view.getUint32(at, true);
    const isCentral = signature === 0x02014b50;
    if (!isCentral && signature !== 0x04034b50) continue;
    const nameOffset = isCentral ? 46 : 30;
    const length = view.getUint16(at + (isCentral ? 28 : 26), true);
    const found = Buffer.from(bytes.subarray(at + nameOffset, at + nameOffset + length)).toString('latin1');
    if (found === name) patch(new DataView(bytes.buffer, at), isCentral, nameOffset);
  }
  return bytes;
}
