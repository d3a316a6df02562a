import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { finishTarget } from '../../main/work/finish-target.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

let folder: string;
let target: string;

beforeEach(() => {
  folder = temporaryFolder();
  target = join(folder, 'made.zip');
});

describe('a file that gets its name when it is whole', () => {
  it('is not begun where there is one of that name', async () => {
    writeFileSync(target, 'mine');
    let isBegun = false;
    const finished = finishTarget(target, () => {
      isBegun = true;
      return Promise.resolve();
    });
    await expect(finished).rejects.toMatchObject({ code: 'invalid-state' });
    expect(isBegun).toBe(false);
    expect(readFileSync(target, 'utf8')).toBe('mine');
  });

  it('does not replace one that has come while it was written, and leaves nothing of itself', async () => {
    const finished = finishTarget(target, (part) => {
      writeFileSync(part, 'made');
      writeFileSync(target, 'mine');
      return Promise.resolve();
    });
    await expect(finished).rejects.toMatchObject({ code: 'invalid-state' });
    expect(readFileSync(target, 'utf8')).toBe('mine');
    expect(readdirSync(folder)).toEqual(['made.zip']);
  });

  it('begins anew over what a program that was ended has left', async () => {
    writeFileSync(`${target}.part`, 'half');
    await finishTarget(target, (part) => {
      expect(existsSync(part)).toBe(false);
      writeFileSync(part, 'made');
      return Promise.resolve();
    });
    expect(readFileSync(target, 'utf8')).toBe('made');
    expect(readdirSync(folder)).toEqual(['made.zip']);
  });
});
