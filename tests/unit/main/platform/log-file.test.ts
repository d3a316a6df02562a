import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { openLogFile } from '../../../../main/platform/log-file.ts';

describe('log file', () => {
  let folder: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'proofarm-log-'));
  });
  afterEach(() => {
    rmSync(folder, { recursive: true, force: true });
  });

  it('has one line of JSON per entry, with the stack and the cause of an error', () => {
    const log = openLogFile(folder);
    log.info('first', { path: '/data' });
    log.error('second', { logId: 'a', cause: new Error('outer', { cause: new Error('inner') }) });
    const lines = readFileSync(join(folder, 'proofarm.log'), 'utf8')
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line) as Record<string, string>);
    expect(lines).toMatchObject([
      { level: 'info', message: 'first', path: '/data' },
      { level: 'error', message: 'second', logId: 'a' },
    ]);
    expect(lines[1]!['cause']).toMatch(/Error: outer[\s\S]*log-file\.test\.ts[\s\S]*caused by Error: inner/);
  });

  it('is readable by its owner only', () => {
    openLogFile(folder).info('x');
    expect(statSync(join(folder, 'proofarm.log')).mode & 0o077).toBe(0);
  });

  it('goes on where it was, until it has grown large', () => {
    openLogFile(folder).info('first start');
    openLogFile(folder).info('second start');
    const file = join(folder, 'proofarm.log');
    expect(readFileSync(file, 'utf8').trimEnd().split('\n')).toHaveLength(2);
    writeFileSync(file, 'x'.repeat(6 * 1024 * 1024));
    openLogFile(folder).info('third start');
    expect(readFileSync(file, 'utf8')).toContain('third start');
    expect(statSync(join(folder, 'proofarm.1.log')).size).toBe(6 * 1024 * 1024);
  });

  it('says on the terminal what it cannot write, instead of failing', () => {
    const log = openLogFile(folder);
    rmSync(folder, { recursive: true });
    const write = vi.spyOn(process.stderr, 'write').mockReturnValue(true);
    log.error('the disk is gone');
    expect(write).toHaveBeenCalledWith(expect.stringContaining('the disk is gone'));
    write.mockRestore();
  });
});
