import { existsSync, mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { homedir } from 'node:os';
import { basename, dirname, join } from 'node:path';
import { unzipSync, strFromU8 } from 'fflate';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { makeDataFolder, startRealServices, type RunningServices } from '../helpers/running-services.ts';

let folder: ReturnType<typeof makeDataFolder>;
let bench: RunningServices;
beforeEach(async () => {
  folder = makeDataFolder();
  bench = await startRealServices(folder.path);
  await bench.handlers.updateSettings({ operator: 'Marlene Q.' });
});
afterEach(async () => {
  vi.useRealTimers();
  await bench.close();
  folder.remove();
});

function filesOf(path: string): Record<string, string> {
  return Object.fromEntries(
    Object.entries(unzipSync(readFileSync(path))).map(([name, bytes]) => [name, strFromU8(bytes, true)]),
  );
}

describe('the file for finding faults', () => {
  it('holds versions, state, profile, faults and a list of itself, and says where it lies', async () => {
    await bench.handlers.connectSimulatedBench({});
    await bench.until('samples', ({ amplifier }) => amplifier.counters.samples > 1000);
    const { path, entries } = await bench.handlers.makeDiagnosticBundle({ includeRawBytes: false });
    const files = filesOf(path);
    expect(Object.keys(files)).toEqual(entries.map(({ name }) => name));
    expect(Object.keys(files)).toEqual([
      'contents.txt',
      'versions.json',
      'amplifier.json',
      'profile.json',
      'faults.json',
      'bench.json',
    ]);
    for (const { name, holds } of entries.slice(1))
      expect(files['contents.txt']).toContain(`${name}: ${holds}`);
    expect(JSON.parse(files['versions.json'] ?? '')).toMatchObject({
      proofarm: '0.0.0-test',
      node: process.versions.node,
    });
    expect(JSON.parse(files['profile.json'] ?? '')).toMatchObject({ checksum: 'xor' });
    expect(readdirSync(join(folder.path, 'diagnostics'))).toHaveLength(1);
  });

  it('holds the last bytes, as a capture that can be replayed, only where they were asked for', async () => {
    await bench.handlers.connectSimulatedBench({});
    await bench.until('samples', ({ amplifier }) => amplifier.counters.samples > 1000);
    const { path } = await bench.handlers.makeDiagnosticBundle({ includeRawBytes: true });
    expect(filesOf(path)['last-minute.bin']).toMatch(/^\{"format":"serial-capture"[^\n]*\n/);
    expect(filesOf(path)['last-minute.bin']).toMatch(/\$\d+,\d+,-?\d+\*[0-9A-F]{2}/);
  });

  it('names neither the operator nor a folder of the user', async () => {
    const { path } = await bench.handlers.makeDiagnosticBundle({ includeRawBytes: false });
    const everything = Object.values(filesOf(path)).join('\n');
    for (const personal of ['Marlene', folder.path, homedir()]) expect(everything).not.toContain(personal);
  });

  it('is another file where there is one of that second, and harms none', async () => {
    vi.useFakeTimers({ toFake: ['Date'], now: new Date('2026-03-04T05:06:07.000Z') });
    const taken = join(folder.path, 'diagnostics', 'proofarm-diagnostics-20260304-050607.zip');
    mkdirSync(dirname(taken));
    writeFileSync(taken, 'mine');
    const { path } = await bench.handlers.makeDiagnosticBundle({ includeRawBytes: false });
    expect(readFileSync(taken, 'utf8')).toBe('mine');
    expect(basename(path)).toBe('proofarm-diagnostics-20260304-050607-2.zip');
    expect(Object.keys(filesOf(path))).toContain('versions.json');
    expect(readdirSync(dirname(path))).toHaveLength(2);
  });

  it('refuses raw bytes where none flow, and leaves no half a file', async () => {
    await expect(bench.handlers.makeDiagnosticBundle({ includeRawBytes: true })).rejects.toMatchObject({
      code: 'amplifier-not-connected',
    });
    expect(existsSync(join(folder.path, 'diagnostics'))).toBe(false);
  });
});
