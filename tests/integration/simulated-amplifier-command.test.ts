import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { ReadlineParser } from '@serialport/parser-readline';
import { spawn as spawnInTerminal } from '@lydell/node-pty';
import { SerialPort } from 'serialport';
import { afterAll, afterEach, describe, expect, it, vi } from 'vitest';
import { xorChecksum } from '../../shared-lib/amplifier/format-amplifier-line.ts';

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
    ] as const) {
      terminal.write(key);
      await until(() => said.includes(answer));
    }
    terminal.write('q');
    expect(await exit).toBe(0);
    expect(said).toContain('lines written');
  });

  it('explains itself', async () => {
    const { exit, said } = simulate('--help');
    expect((await exit)[0]).toBe(0);
    expect(said()).toContain('--profile ID');
  });
});
