import { copyFileSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { examine } from '../../scripts/doctor.ts';
import { makeDataFolder, startRealServices } from '../helpers/running-services.ts';

const folder = makeDataFolder();
beforeAll(async () => {
  const services = await startRealServices(folder.path);
  await services.close();
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

  it('refuses options that it does not know', async () => {
    const { code, lines } = await examined('--repair');
    expect(code).toBe(2);
    expect(lines.join('\n')).toContain('proofarm doctor');
  });
});
