import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';
import {
  createLossyDisk,
  type DiskStep,
  type Loss,
  type LossyDisk,
} from '../../../../scripts/faults/lossy-disk.ts';
import { stepsOf } from '../../../../scripts/faults/recorded-calls.ts';

const PAGE_BYTES = 4096;
const path = '/data/file';

const page = (letter: string): Uint8Array => new Uint8Array(PAGE_BYTES).fill(letter.charCodeAt(0));
const write = (at: number, bytes: Uint8Array): DiskStep => ({ kind: 'write', path, at, bytes });
const synced = (of: string): DiskStep[] => [
  { kind: 'syncBegins', path: of, thread: 1 },
  { kind: 'syncEnds', path: of, thread: 1 },
];
const made: DiskStep = { kind: 'create', path, isEmptied: true };

function perform(disk: LossyDisk, ...steps: readonly DiskStep[]): LossyDisk {
  for (const step of steps) disk.perform(step);
  return disk;
}

/** The letter of each page of the file after a cut, or null where there is no file. */
function left(disk: LossyDisk, loss: Loss, random = createSeededRandom(1, 1)): string | null {
  const into = mkdtempSync(join(tmpdir(), 'proofarm-disk-'));
  onTestFinished(() => {
    rmSync(into, { recursive: true });
  });
  disk.cut(into, loss, random);
  if (!readdirSync(into).includes('file')) return null;
  const content = readFileSync(join(into, 'file'), 'latin1');
  return Array.from({ length: content.length / PAGE_BYTES }, (_, index) => content[index * PAGE_BYTES]).join(
    '',
  );
}

describe('a disk that loses what was not synced', () => {
  it('has a file with its name once both were synced, and what came since only by luck', () => {
    const disk = perform(
      createLossyDisk('/data'),
      made,
      write(0, page('a')),
      ...synced(path),
      ...synced('/data'),
    );
    perform(disk, write(PAGE_BYTES, page('b')), write(0, page('c')));
    expect(left(disk, 'everything')).toBe('a');
    expect(left(disk, 'nothing')).toBe('cb');
  });

  it('has no file whose folder was not synced', () => {
    const disk = perform(createLossyDisk('/data'), made, write(0, page('a')), ...synced(path));
    expect(left(disk, 'everything')).toBeNull();
  });

  it('counts a sync for what was written before it was asked for, not for what came while it went on', () => {
    const [begins, ends] = synced(path) as [DiskStep, DiskStep];
    const disk = perform(createLossyDisk('/data'), made, ...synced('/data'), write(0, page('a')), begins);
    perform(disk, write(0, page('b')));
    expect(left(disk, 'everything')).toBe('');
    perform(disk, ends);
    expect(left(disk, 'everything')).toBe('a');
  });

  it('may have one page of two, or a state in between, by chance', () => {
    const disk = perform(createLossyDisk('/data'), made, ...synced('/data'), write(0, page('a')));
    perform(disk, write(PAGE_BYTES, page('a')), ...synced(path));
    perform(disk, write(0, page('b')), write(0, page('c')), write(PAGE_BYTES, page('d')));
    const random = createSeededRandom(5, 1);
    const found = new Set(Array.from({ length: 60 }, () => left(disk, 'byChance', random)));
    expect(found).toContain('ad');
    expect(found).toContain('ca');
    expect(found).toContain('ba');
  });

  it('undoes a removal that was not synced', () => {
    const disk = perform(
      createLossyDisk('/data'),
      made,
      write(0, page('a')),
      ...synced(path),
      ...synced('/data'),
    );
    perform(disk, { kind: 'remove', path });
    expect(left(disk, 'everything')).toBe('a');
    expect(left(disk, 'nothing')).toBeNull();
  });

  it('forgets all where no sync reaches it', () => {
    const disk = perform(
      createLossyDisk('/data', true),
      made,
      write(0, page('a')),
      ...synced(path),
      ...synced('/data'),
    );
    expect(left(disk, 'everything')).toBeNull();
  });
});

describe('a record of calls', () => {
  const hex = (text: string): string =>
    Array.from(text, (letter) => `\\x${letter.charCodeAt(0).toString(16).padStart(2, '0')}`).join('');
  const handle = (number: number, name: string): string => `${number}<${hex(name)}>`;

  it('is read in order, also where a call of one thread waits for another', () => {
    const lines = [
      `11 openat(AT_FDCWD<${hex('/')}>, "${hex(path)}", O_RDWR|O_CREAT|O_CLOEXEC, 0644) = ${handle(20, path)}`,
      `11 pwrite64(${handle(20, path)}, "${hex('ab\n')}", 3, 4096) = 3`,
      `11 fdatasync(${handle(20, path)} <unfinished ...>`,
      `12 pwrite64(${handle(20, path)}, "${hex('c')}", 1, 0) = 1`,
      `11 <... fdatasync resumed>) = 0`,
      `12 write(${handle(21, '/marks')}, "${hex('told')}", 4) = 4`,
      `12 openat(AT_FDCWD<${hex('/')}>, "${hex('/data/none')}", O_RDONLY) = -1 ENOENT (No such file or directory)`,
      `12 unlink("${hex(path)}") = 0`,
    ];
    expect([...stepsOf(lines, '/data', '/marks')]).toEqual([
      { kind: 'create', path, isEmptied: false },
      { kind: 'write', path, at: 4096, bytes: Uint8Array.from(Buffer.from('ab\n')) },
      { kind: 'syncBegins', path, thread: 11 },
      { kind: 'write', path, at: 0, bytes: Uint8Array.from(Buffer.from('c')) },
      { kind: 'syncEnds', path, thread: 11 },
      { kind: 'mark', text: 'told' },
      { kind: 'remove', path },
    ]);
  });

  it('is refused where it holds a call that would be passed over', () => {
    const lines = [`11 fallocate(${handle(20, path)}, 0, 0, 4096) = 0`];
    expect(() => [...stepsOf(lines, '/data', '/marks')]).toThrow('fallocate');
  });
});
