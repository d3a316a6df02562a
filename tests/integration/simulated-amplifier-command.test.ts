import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { ReadlineParser } from '@serialport/parser-readline';
import { spawn as spawnInTerminal } from '@lydell/node-pty';
import { SerialPort } from 'serialport';
import { afterAll, afterEach, describe, expect, it, vi } from 'vitest';
import { readyMadeProfiles, type AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { xorChecksum } from '../../shared-lib/amplifier/format-amplifier-line.ts';
import { writeProfileFile } from '../../shared-lib/amplifier/profile-file.ts';

const checksummed = readyMadeProfiles[2];
if (!checksummed) throw new Error('The profile with a checksum is missing.');

const script = new URL('../../scripts/simulate-amplifier.ts', import.meta.url).href;
const started: ChildProcess[] = [];
const folder = mkdtempSync(join(tmpdir(), 'simulate-'));

afterEach(() => {
  for (const child of started.splice(0)) child.kill('SIGKILL');
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

function programOf(argv: readonly string[]): string[] {
  const program = `const { simulateAmplifier } = await import(${JSON.stringify(script)});
    process.exitCode = await simulateAmplifier(${JSON.stringify(argv)});`;
  return ['--input-type=module', '-e', program];
}

function simulate(...argv: string[]) {
  const child = spawn(process.execPath, programOf(argv), { stdio: ['ignore', 'pipe', 'pipe'] });
  started.push(child);
  const said: string[] = [];
  child.stdout.on('data', (bytes: Buffer) => said.push(bytes.toString()));
  child.stderr.on('data', (bytes: Buffer) => said.push(bytes.toString()));
  return { child, exit: once(child, 'close') as Promise<[number | null]>, said: () => said.join('') };
}

const until = (condition: () => boolean) => vi.waitUntil(condition, { timeout: 60_000, interval: 20 });

describe('the command that simulates an amplifier', () => {
  it('serves lines on a port that the serial library opens, pulls by itself and ends cleanly', async () => {
    const linkPath = join(folder, 'amplifier');
    const argv = [
      '--link',
      linkPath,
      '--rate',
      '1000',
      '--every',
      '0.3',
      '--trigger',
      '0.2',
      '--tool',
      'Corvane C8',
    ];
    const { child, exit, said } = simulate(...argv);
    await until(() => said().includes('Ctrl+C'));
    expect(said()).toContain(`type ${linkPath} as the port`);

    const port = new SerialPort({ path: linkPath, baudRate: 115_200 });
    const lines: string[] = [];
    port.pipe(new ReadlineParser({ delimiter: '\n' })).on('data', (line: string) => lines.push(line));
    await until(() => lines.length > 200 && said().includes('pull reverse'));
    // The first line may be cut: the library empties the port as it opens it.
    for (const line of lines.slice(1, 200)) {
      const [body = '', checksum = ''] = line.slice(1).split('*');
      expect(checksum).toBe(xorChecksum(body));
    }

    child.kill('SIGINT');
    expect((await exit)[0]).toBe(0);
    expect(said()).toMatch(/\d+ lines written, \d+ dropped/);
    expect(existsSync(linkPath)).toBe(false);
  });

  it.each([
    [['--tool', 'Nobody N1'], 'no simulated tool "Nobody N1"'],
    [['--rate', 'fast'], '--rate must be a number'],
    [['--profile', 'nothing'], 'no profile "nothing"'],
    [['--seed', '1.5'], '--seed must be a whole number'],
    [['--nonsense'], '--nonsense'],
    [['--misbehave', 'dance@1'], 'cannot "dance"'],
    [['--misbehave', 'reset'], 'what and when'],
    [['--misbehave', 'reset@soon'], '"soon" is not'],
    [['--misbehave', 'reset@1', '--profile', 'counts'], 'no counter'],
    [['--rate-step', '0@1'], '--rate-step must be a number'],
    [['--jitter=-1'], '--jitter must be a number'],
    [['--profile-file', '/nowhere/profile.json'], 'cannot be read'],
  ])('says what is wrong with %s', async (argv, message) => {
    const { exit, said } = simulate(...argv);
    expect((await exit)[0]).toBe(2);
    expect(said()).toContain(message);
  });

  it('obeys the keys of a terminal', async () => {
    const terminal = spawnInTerminal(process.execPath, programOf(['--every', '0']), { cols: 200 });
    let said = '';
    terminal.onData((text) => (said += text));
    const exit = new Promise<number>((resolve) => {
      terminal.onExit(({ exitCode }) => {
        resolve(exitCode);
      });
    });
    await until(() => said.includes('q quit'));
    for (const [key, answer] of [
      ['f', 'pull forward, 7 s'],
      ['r', 'pull reverse, 7 s'],
      ['p', 'push clockwise, 40 N·m'],
      ['g', '5 lines lost'],
      ['x', 'garbage for 0.2 s'],
      ['s', 'silence for 2 s'],
      ['c', '3 bad checksums'],
      ['t', 'at the rail for 0.2 s'],
      ['k', 'stuck for 3 s'],
      ['d', '3 lines twice'],
      ['o', '3 numbers beyond the rails'],
      ['z', 'counters from 0 again'],
      ['b', 'sequence back by 20'],
      ['j', 'device time on by 500 ms'],
      ['w', 'carry no status flags'],
      ['u', 'unplugged for good'],
    ] as const) {
      terminal.write(key);
      await until(() => said.includes(answer));
    }
    terminal.write('q');
    expect(await exit).toBe(0);
    expect(said).toContain('lines written');
  });

  it('serves the lines of a profile that was exported, and goes wrong at the times it was given', async () => {
    const profile: AmplifierProfile = {
      ...checksummed,
      id: 'own',
      name: 'North bench',
      nominalRateHz: 500,
      checksum: 'none',
      separator: ';',
      countsForm: { numeral: 'hex', bits: 24 },
      statusFlags: { field: 3, numeral: 'hex', bits: [{ bit: 5, meaning: 'supply low', isFault: true }] },
    };
    const profilePath = join(folder, 'profile.json');
    const linkPath = join(folder, 'own');
    writeFileSync(profilePath, writeProfileFile(profile));
    const { child, exit, said } = simulate(
      ...['--profile-file', profilePath, '--link', linkPath, '--every', '0', '--mixed-endings'],
      ...['--misbehave', 'flag@3', '--misbehave', 'reset@4', '--jitter', '100', '--rate-step', '2@2'],
    );
    await until(() => said().includes('Ctrl+C'));
    expect(said()).toContain('profile "North bench", 500 Sa/s');

    const port = new SerialPort({ path: linkPath, baudRate: 115_200 });
    const lines: string[] = [];
    port.pipe(new ReadlineParser({ delimiter: '\n' })).on('data', (line: string) => lines.push(line));
    port.write('who?\r');
    await until(() => said().includes('received "who?\\r"'));
    const isFlagged = (line: string) => /^\d+;\d+;[0-9A-F]{6};20\r?$/.test(line);
    await until(() => lines.some(isFlagged) && lines.some((line) => line.startsWith('0;0;')));
    expect(lines.some((line) => /^\d+;\d+;[0-9A-F]{6};00$/.test(line))).toBe(true);
    expect(lines.some((line) => /^\d+;\d+;[0-9A-F]{6};00\r$/.test(line))).toBe(true);

    child.kill('SIGINT');
    expect((await exit)[0]).toBe(0);
  });

  it('explains itself', async () => {
    const { exit, said } = simulate('--help');
    expect((await exit)[0]).toBe(0);
    for (const option of ['--profile ID', '--misbehave WHAT@S', '--jitter US', 'beyond-rails']) {
      expect(said()).toContain(option);
    }
  });
});
