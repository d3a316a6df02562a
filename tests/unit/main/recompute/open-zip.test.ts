import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { zipSync, strToU8 } from 'fflate';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openPackage } from '../../../../main/recompute/open-package.ts';

/** ZIPs of another library, whole and damaged. */
let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'proofarm-test-'));
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

function written(name: string, bytes: Uint8Array): string {
  const path = join(folder, name);
  writeFileSync(path, bytes);
  return path;
}

const content = 'slot,counts\r\n0,1\r\n'.repeat(500);
const zipped = (name = 'data/counts/a.csv'): Uint8Array =>
  zipSync({ [name]: strToU8(content), 'README.md': [strToU8('as it is'), { level: 0 }] });

/** The same bytes with one text in the place of another of the same length. */
function replaced(bytes: Uint8Array, from: string, to: string): Buffer {
  return Buffer.from(Buffer.from(bytes).toString('latin1').replaceAll(from, to), 'latin1');
}

describe('a package in a ZIP', () => {
  it('is read file by file, packed ones and stored ones', async () => {
    const files = openPackage(written('whole.zip', zipped()));
    expect(files.names()).toEqual(['README.md', 'data/counts/a.csv']);
    expect(await files.text('data/counts/a.csv')).toBe(content);
    expect(Buffer.from(await files.bytes('README.md')).toString()).toBe('as it is');
    await expect(files.text('missing')).rejects.toThrow('The file is not there.');
  });

  it('may have a comment at its end', () => {
    const bytes = Buffer.from(zipped());
    bytes.writeUInt16LE(5, bytes.length - 2);
    const files = openPackage(written('comment.zip', Buffer.concat([bytes, Buffer.from('hello')])));
    expect(files.names()).toHaveLength(2);
  });

  it.each([
    ['climbs out', replaced(zipped('data/xx.csv'), 'data/xx.csv', '../../x.csv'), /leads elsewhere/],
    ['is absolute', replaced(zipped('data/xx.csv'), 'data/xx.csv', '/etc/passwd'), /leads elsewhere/],
    [
      'is there twice',
      replaced(zipped('README.mx'), 'README.mx', 'README.md'),
      /two files called “README.md”/,
    ],
  ])('is refused where a name %s', (_what, bytes, told) => {
    expect(() => openPackage(written('hostile.zip', bytes))).toThrow(told);
  });

  it('is refused where it ends in the middle, is no ZIP, or is not there', () => {
    expect(() => openPackage(written('short.zip', zipped().subarray(0, 60)))).toThrow(
      /neither a folder nor a ZIP/,
    );
    expect(() => openPackage(written('text.zip', Buffer.from('hello')))).toThrow(
      /neither a folder nor a ZIP/,
    );
    expect(() => openPackage(written('empty.zip', Buffer.alloc(0)))).toThrow(/neither a folder nor a ZIP/);
    expect(() => openPackage(join(folder, 'gone.zip'))).toThrow(/There is no such file or folder/);
  });

  it('says which file is damaged or is not as long as it says, and unpacks no bomb', async () => {
    const damaged = Buffer.from(zipped());
    damaged.fill(0xff, 60, 70);
    await expect(openPackage(written('damaged.zip', damaged)).text('data/counts/a.csv')).rejects.toThrow(
      /not what went in/,
    );
    const bomb = Buffer.from(zipSync({ a: new Uint8Array(10_000_000) }));
    // Its directory says that it unpacks to ten bytes.
    bomb.writeUInt32LE(10, bomb.indexOf('PK\u0001\u0002', 'latin1') + 24);
    await expect(openPackage(written('bomb.zip', bomb)).text('a')).rejects.toThrow(/not what went in/);
  });
});
