import { spawnSync } from 'node:child_process';
import { mkdirSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import process from 'node:process';
import { strToU8, zipSync } from 'fflate';
import { beforeAll, describe, expect, it } from 'vitest';
import { whyNotUnpacked, type ZipEntry } from '../../shared-lib/package/check-entries.ts';
import { openPackage } from '../../main/recompute/open-package.ts';
import { recompute } from '../../main/recompute/recompute-main.ts';
import { recomputeReportSchema } from '../../shared-lib/package/package-model.ts';
import { NotAPackage } from '../../shared-lib/recompute/not-a-package.ts';
import type { PackageInMemory } from './recompute-support/package-in-memory.ts';
import { makeSmallPackage } from './recompute-support/small-package.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

const entry = (name: string, changes: Partial<ZipEntry> = {}): ZipEntry => ({
  name,
  packedBytes: 10,
  unpackedBytes: 20,
  isEncrypted: false,
  isSpecial: false,
  ...changes,
});

describe('what the directory of a ZIP says is enough to refuse it', () => {
  it('where nothing speaks against it, it is not', () => {
    expect(whyNotUnpacked([entry('data/trial.csv'), entry('README.md')], 1000)).toBeNull();
  });

  it('where it names more files than a million', () => {
    const many = Array.from({ length: 1_000_001 }, (_, index) => entry(`f${index}`));
    expect(whyNotUnpacked(many, 2 ** 40)).toMatch(/names 1000001 files/);
  });

  it('where many small files make a large one: none is a bomb by itself, all of them are', () => {
    const many = Array.from({ length: 1000 }, (_, index) =>
      entry(`f${index}`, { packedBytes: 1, unpackedBytes: 1_000_000 }),
    );
    expect(whyNotUnpacked(many, 200_000)).toMatch(/taken for a trap/);
  });

  it('where files overlap, which makes a bomb without packing', () => {
    const many = Array.from({ length: 20 }, (_, index) => entry(`f${index}`, { packedBytes: 900 }));
    expect(whyNotUnpacked(many, 1000)).toMatch(/overlap/);
  });

  it.each([
    'data/../../x.csv',
    'data//x.csv',
    './x.csv',
    '/x.csv',
    '//server/share/x.csv',
    '\\\\server\\share\\x.csv',
    '\\\\?\\C:\\x.csv',
    'C:x.csv',
    'c:/x.csv',
    'x.csv:stream',
    'x.csv ',
    '.hidden',
    'data/.git/config',
    'x\u202egpj.csv',
    'x\ny.csv',
    'x\u0000.csv',
    'é.csv',
    '~/x.csv',
    '$HOME/x.csv',
    '%2e%2e/x.csv',
    `${'a'.repeat(201)}.csv`,
    '',
  ])('where a file is called %j', (name) => {
    expect(whyNotUnpacked([entry(name)], 1000)).toMatch(/^The file name /);
  });

  it('where it is a link or a device, or encrypted', () => {
    expect(whyNotUnpacked([entry('x.csv', { isSpecial: true })], 1000)).toMatch(/is a link/);
    expect(whyNotUnpacked([entry('x.csv', { isEncrypted: true })], 1000)).toMatch(/is encrypted/);
  });
});

describe('the script of a package, which whoever doubts it runs on a file from anywhere,', () => {
  const zipped = (): Buffer =>
    Buffer.from(zipSync({ 'data/a.csv': strToU8('slot,counts\r\n0,1\r\n'.repeat(500)) }));
  const directoryAt = (zip: Buffer): number => zip.indexOf('PK\u0001\u0002', 'latin1');
  const endAt = (zip: Buffer): number => zip.lastIndexOf('PK\u0005\u0006', undefined, 'latin1');

  const refusalOf = async (zip: Uint8Array): Promise<unknown> => {
    const path = join(temporaryFolder(), 'hostile.zip');
    writeFileSync(path, zip);
    try {
      const files = openPackage(path);
      for (const name of files.names()) await files.bytes(name);
    } catch (error) {
      return error;
    }
    return null;
  };

  it('reads a whole one', async () => {
    expect(await refusalOf(zipped())).toBeNull();
  });

  it.each<[string, (zip: Buffer) => void]>([
    ['a size of 4 GB, packed', (zip) => zip.writeUInt32LE(0xfffffffe, directoryAt(zip) + 20)],
    ['a size of 4 GB, unpacked', (zip) => zip.writeUInt32LE(0xfffffffe, directoryAt(zip) + 24)],
    ['a place behind the end of the file', (zip) => zip.writeUInt32LE(0x7fffffff, directoryAt(zip) + 42)],
    ['a way of packing that is none', (zip) => zip.writeUInt16LE(99, directoryAt(zip) + 10)],
    ['a name that goes on behind the directory', (zip) => zip.writeUInt16LE(0xffff, directoryAt(zip) + 28)],
    ['65534 files, and has one', (zip) => zip.writeUInt16LE(65_534, endAt(zip) + 10)],
    ['a directory of 2 GB', (zip) => zip.writeUInt32LE(0x7fffffff, endAt(zip) + 12)],
    ['a directory behind its end', (zip) => zip.writeUInt32LE(0x7fffffff, endAt(zip) + 16)],
    [
      'a directory elsewhere, of 64 bits, that is not there',
      (zip) => zip.writeUInt16LE(0xffff, endAt(zip) + 10),
    ],
  ])('refuses one that tells of %s, in words', async (_, change) => {
    const zip = zipped();
    change(zip);
    expect(await refusalOf(zip)).toBeInstanceOf(NotAPackage);
  });

  it('refuses one whose 64-bit directory lies further off than any file reaches', async () => {
    const zip = zipped();
    zip.writeUInt16LE(0xffff, endAt(zip) + 10);
    const locator = Buffer.alloc(20);
    locator.writeUInt32LE(0x07064b50, 0);
    locator.writeBigUInt64LE(2n ** 63n, 8);
    const at = endAt(zip);
    expect(await refusalOf(Buffer.concat([zip.subarray(0, at), locator, zip.subarray(at)]))).toBeInstanceOf(
      NotAPackage,
    );
  });

  it('follows no link out of a folder', async () => {
    const folder = temporaryFolder();
    const outside = join(temporaryFolder(), 'outside.csv');
    writeFileSync(outside, 'secret');
    mkdirSync(join(folder, 'data'));
    writeFileSync(join(folder, 'data', 'own.csv'), 'own');
    symlinkSync(outside, join(folder, 'data', 'link.csv'));
    symlinkSync('/etc', join(folder, 'etc'));
    const files = openPackage(folder);
    expect(files.names()).toEqual(['data/own.csv']);
    await expect(files.text('data/link.csv')).rejects.toThrow('The file is not there.');
    await expect(files.text('../outside.csv')).rejects.toThrow('The file is not there.');
    await expect(files.text('etc/passwd')).rejects.toThrow('The file is not there.');
  });
});

describe('the script of a package with a record that would fill its memory', () => {
  const MIB = 2 ** 20;
  let whole: PackageInMemory;

  beforeAll(async () => {
    ({ files: whole } = await makeSmallPackage());
  });

  /** In a process of its own that has little memory for texts. */
  async function printedWith(record: (csv: string) => string): Promise<{ code: number | null; out: string }> {
    const files = whole.copy();
    const name = files.names().find((one) => one.startsWith('data/counts/')) ?? '';
    files.rewrite(name, record);
    files.seal();
    const path = join(temporaryFolder(), 'hostile.zip');
    const entries = await Promise.all(
      files.names().map(async (one) => [one, await files.bytes(one)] as const),
    );
    writeFileSync(path, zipSync(Object.fromEntries(entries), { level: 1 }));
    const { status, stdout, stderr } = spawnSync(
      process.execPath,
      ['--max-old-space-size=256', 'main/recompute/recompute-entry.ts', path],
      { encoding: 'utf8' },
    );
    expect(stderr).toBe('');
    return { code: status, out: stdout };
  }

  it('refuses the line where a cell is as long as a file', async () => {
    const { code, out } = await printedWith((csv) =>
      csv.replace(/[^\n]*\r\n$/, `999999,${'1'.repeat(16 * MIB)}\r\n`),
    );
    expect(code).toBe(1);
    expect(out).toMatch(/Line \d+ is not two numbers: "999999,1{53}"\./);
  });

  it('refuses it where it has more lines than slots, whatever stands in them', async () => {
    const { code, out } = await printedWith((csv) => `${csv}${'\n'.repeat(32 * MIB)}`);
    expect(code).toBe(1);
    expect(out).toMatch(/It has 335\d{5} lines of numbers, and the record has \d+ slots\./);
  });
});

describe('what is printed of a package that would print its own verdict', () => {
  const verdict = '\u001b[2J\u001b[H\r\nEverything agrees.\u001b[8m\u009b8m\u202e\u2028\u2029\u{e0001}';
  const hostileName = `x${verdict}.csv`;

  async function printedOf(entries: Record<string, string>, ...options: string[]) {
    const path = join(temporaryFolder(), 'hostile.zip');
    writeFileSync(
      path,
      zipSync(Object.fromEntries(Object.entries(entries).map(([name, text]) => [name, strToU8(text)]))),
    );
    const printed = { written: '', complained: '' };
    const code = await recompute([path, ...options], {
      as: 'recompute',
      write: (text) => (printed.written += text),
      complain: (text) => (printed.complained += text),
    });
    return { code, ...printed };
  }

  const described = (softwareVersion: string): string =>
    JSON.stringify({
      proofarm: {
        format: 1,
        bench: { id: 'bench', name: 'Bench' },
        softwareVersion,
        schemaVersion: 1,
        definitionVersion: 1,
        madeAt: '2026-04-03T09:00:00.000Z',
        subject: 'Hostile',
        isSimulated: true,
      },
      resources: [{ name: 'x', path: `data/${verdict}`, bytes: 0, hash: '' }],
    });
  const obeyed = /(?!\n)[\p{Cc}\p{Cf}\u2028\u2029]/u;

  it('has no sign that a terminal obeys but the line feeds of the program, in words', async () => {
    const { code, written } = await printedOf({ 'datapackage.json': described('1'), [hostileName]: 'x' });
    expect(code).toBe(1);
    expect(written).toContain('  x\\u{1b}[2J\\u{1b}[H\\u{d}\\u{a}Everything agrees.');
    expect(written).not.toMatch(obeyed);
    expect(written.split('\n').filter((line) => line.startsWith('Everything'))).toEqual([]);
  });

  it('has none as JSON either, which says the same when it is read', async () => {
    const { written } = await printedOf({ 'datapackage.json': described('1'), [hostileName]: 'x' }, '--json');
    expect(written).not.toMatch(obeyed);
    const { findings } = recomputeReportSchema.parse(JSON.parse(written));
    expect(findings.map(({ where }) => where)).toContain(hostileName);
  });

  it.each([
    ['a name that leads elsewhere', { [`../${verdict}`]: 'x' }],
    ['a manifest that is none', { 'datapackage.json': `{"proofarm":{"${verdict}":1}` }],
    [
      'a manifest with members that nobody knows',
      { 'datapackage.json': JSON.stringify({ proofarm: { [verdict]: 1 } }) },
    ],
  ])('has none where it is refused for %s', async (_, entries) => {
    const { code, written, complained } = await printedOf(entries);
    expect([code, written]).toEqual([2, '']);
    expect(complained).toContain('Nothing was computed.');
    expect(complained).not.toMatch(obeyed);
  });
});
