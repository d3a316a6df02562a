import { existsSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { acquireInstanceLock, type HeldInstanceLock } from '../../main/storage/instance-lock.ts';
import { startChild } from './storage-support/child.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

const url = 'http://127.0.0.1:4321/#token=demo';

function acquire(folder: string): HeldInstanceLock {
  const lock = acquireInstanceLock(folder, () => new Date('2026-03-04T05:06:07Z'));
  if ('runningAt' in lock) throw new Error('The folder is held already');
  onTestFinished(() => {
    lock.release();
  });
  return lock;
}

describe('the lock on a data folder', () => {
  it('is given once, and again after it was released', () => {
    const folder = temporaryFolder();
    const first = acquire(folder);
    expect(acquireInstanceLock(folder)).toEqual({ runningAt: null });
    first.release();
    acquire(folder);
  });

  it('makes the folder where it is missing', () => {
    const folder = join(temporaryFolder(), 'new', 'data');
    acquire(folder);
    expect(statSync(folder).isDirectory()).toBe(true);
  });

  it.runIf(process.platform === 'linux')('refuses at once a folder that no system call can make', () => {
    expect(() => acquireInstanceLock('/proc/proofarm/data')).toThrow(
      expect.objectContaining({ code: 'data-folder-unusable' }),
    );
  });

  it('tells a second start where the first one answers, for eyes of the same user only', () => {
    const folder = temporaryFolder();
    acquire(folder).publish(url);
    expect(acquireInstanceLock(folder)).toEqual({
      runningAt: { url, pid: process.pid, startedAt: '2026-03-04T05:06:07.000Z' },
    });
    expect(statSync(join(folder, 'instance.json')).mode & 0o777).toBe(0o600);
  });

  it('takes back the address when it is released', () => {
    const folder = temporaryFolder();
    const lock = acquire(folder);
    lock.publish(url);
    lock.release();
    expect(existsSync(join(folder, 'instance.json'))).toBe(false);
  });

  it('does not send a second start to the address of a program that died', () => {
    const folder = temporaryFolder();
    writeFileSync(join(folder, 'instance.json'), JSON.stringify({ url, pid: 1, startedAt: 'long ago' }));
    acquire(folder);
    expect(acquireInstanceLock(folder)).toEqual({ runningAt: null });
  });

  it.each(['{"url":', '{"url":"x","pid":"1","startedAt":""}', '[]'])(
    'does not trust an address file %s',
    (text) => {
      const folder = temporaryFolder();
      acquire(folder);
      writeFileSync(join(folder, 'instance.json'), text);
      expect(acquireInstanceLock(folder)).toEqual({ runningAt: null });
    },
  );

  it('is held by another process as long as that lives, and free when it was killed', async () => {
    const folder = temporaryFolder();
    const child = startChild('hold-instance-lock.ts', folder, url);
    const pid = Number(await child.nextLine());
    expect(acquireInstanceLock(folder)).toMatchObject({ runningAt: { url, pid } });
    await child.killHard();
    acquire(folder);
  });

  it('says what to do when its own file is damaged', () => {
    const folder = temporaryFolder();
    const path = join(folder, 'instance.db');
    writeFileSync(path, 'no database at all, but text. '.repeat(100));
    expect(() => acquireInstanceLock(folder)).toThrow(
      expect.objectContaining({
        code: 'data-folder-unusable',
        message: expect.stringContaining('delete it') as string,
      }),
    );
    expect(readFileSync(path, 'utf8')).toContain('no database');
  });

  it('refuses a file in place of the folder', () => {
    const path = join(temporaryFolder(), 'file');
    writeFileSync(path, '');
    expect(() => acquireInstanceLock(path)).toThrow(
      expect.objectContaining({ code: 'data-folder-unusable' }),
    );
  });
});
