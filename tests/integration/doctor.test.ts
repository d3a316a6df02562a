import { copyFileSync, mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it, vi } from 'vitest';
import { examine } from '../../scripts/doctor.ts';
import { makeDataFolder, startRealServices } from '../helpers/running-services.ts';

const folder = makeDataFolder();
beforeAll(async () => {
  const services = await startRealServices(folder.path);
  await services.close();
});
afterEach(() => {
  vi.unstubAllEnvs();
});
afterAll(() => {
  folder.remove();
});

async function examined(...options: string[]): Promise<{ code: number; lines: string[] }> {
  let text = '';
  const code = await examine(options, {
    stdout: { write: (written) => (text += written) },
    stderr: { write: (written) => (text += written) },
  });
  return { code, lines: text.trimEnd().split('\n') };
}

const about = (lines: readonly string[], what: string): string =>
  lines.find((line) => line.slice(7).startsWith(`${what} `)) ?? '';

describe('the doctor', () => {
  it('finds a fresh folder good, misses its backup, and changes nothing in the database', async () => {
    const before = readFileSync(join(folder.path, 'proofarm.db'));
    const { code, lines } = await examined('--data', folder.path, '--deep');
    expect(code).toBe(0);
    expect(about(lines, 'Database')).toMatch(/^good/);
    expect(about(lines, 'Samples')).toMatch(/^good .*All 0 blocks/);
    expect(about(lines, 'In use')).toMatch(/^good .*No program/);
    expect(about(lines, 'Backup')).toMatch(/^look .*There is none/);
    expect(readFileSync(join(folder.path, 'proofarm.db'))).toEqual(before);
  });

  it('says that a folder is not there yet, and makes none', async () => {
    const { code, lines } = await examined('--data', join(folder.path, 'not-yet'));
    expect(code).toBe(0);
    expect(about(lines, 'Data folder')).toMatch(/^look .*not there yet/);
    expect(readdirSync(folder.path)).not.toContain('not-yet');
  });

  it('finds a damaged database and a damaged backup, says what to do, and ends with 1', async () => {
    const other = join(folder.path, 'other');
    mkdirSync(join(other, 'backups'), { recursive: true });
    copyFileSync(join(folder.path, 'proofarm.db'), join(other, 'proofarm.db'));
    const bytes = readFileSync(join(other, 'proofarm.db'));
    bytes.fill(0x5a, 4096, 3 * 4096);
    writeFileSync(join(other, 'proofarm.db'), bytes);
    writeFileSync(join(other, 'backups', 'backup-x.sqlite'), 'nothing');
    const { code, lines } = await examined('--data', other);
    expect(code).toBe(1);
    expect(about(lines, 'Database')).toMatch(/^wrong .*newest backup/);
    expect(about(lines, 'Backup')).toMatch(/^look/);
  });

  it('finds a browser that was removed since wrong, and still looks at everything else', async () => {
    vi.stubEnv('CHROME_PATH', join(folder.path, 'removed-browser'));
    const { code, lines } = await examined('--data', folder.path);
    expect(code).toBe(1);
    expect(about(lines, 'Window')).toMatch(/^wrong .*removed-browser, which is not there\. Correct it/);
    expect(about(lines, 'Node')).toMatch(/^good/);
    expect(about(lines, 'Database')).toMatch(/^good/);
  });

  it.runIf(process.platform === 'linux')(
    'says what to do where the system cannot list its ports, and still looks at everything else',
    async () => {
      vi.stubEnv('PATH', join(folder.path, 'no-programs-here'));
      const { code, lines } = await examined('--data', folder.path);
      expect(code).toBe(1);
      expect(about(lines, 'Ports')).toMatch(/^wrong .*udevadm.*typed in Setup/);
      expect(about(lines, 'Node')).toMatch(/^good/);
      expect(about(lines, 'Database')).toMatch(/^good/);
    },
  );

  it.runIf(process.platform !== 'win32')(
    'tells of a data folder that leads nowhere, and of the rest',
    async () => {
      const loop = join(folder.path, 'loop');
      symlinkSync(loop, loop);
      const { code, lines } = await examined('--data', loop);
      expect(code).toBe(1);
      expect(about(lines, 'Data folder')).toMatch(/^wrong .*--data/);
      expect(about(lines, 'Node')).toMatch(/^good/);
    },
  );

  it('refuses options that it does not know', async () => {
    const { code, lines } = await examined('--repair');
    expect(code).toBe(2);
    expect(lines.join('\n')).toContain('proofarm doctor');
  });
});
