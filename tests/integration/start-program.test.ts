import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import WebSocket from 'ws';
import { findTestBrowser } from '../../scripts/find-browser.mjs';
import { wireProtocol } from '../../shared-lib/wire-codec.ts';
import { handshakeOutcome } from '../helpers/raw-requests.ts';

const projectRoot = fileURLToPath(new URL('../../', import.meta.url));
const addressLine = /^Address: (http:\/\/127\.0\.0\.1:\d+\/#token=[\w-]{43})$/m;

class Started {
  readonly child: ChildProcess;
  output = '';
  readonly #changed = new Set<() => void>();

  constructor(child: ChildProcess) {
    this.child = child;
    for (const stream of [child.stdout, child.stderr]) {
      stream?.setEncoding('utf8').on('data', (chunk: string) => {
        this.output += chunk;
        for (const look of this.#changed) look();
      });
    }
  }

  /** Waits for what the program says; fails with all that it has said where it ends before. */
  async said(pattern: RegExp): Promise<RegExpExecArray> {
    return new Promise((resolve, reject) => {
      const look = (): void => {
        const match = pattern.exec(this.output);
        if (match !== null) resolve(match);
        else if (this.child.exitCode !== null) reject(new Error(`It ended, having said:\n${this.output}`));
      };
      this.#changed.add(look);
      this.child.on('close', look);
      look();
    });
  }

  async exitCode(): Promise<number | null> {
    if (this.child.exitCode === null && this.child.signalCode === null) await once(this.child, 'close');
    return this.child.exitCode;
  }
}

describe('npm start', () => {
  let folder: string;
  let started: Started[];
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'proofarm-start-'));
    started = [];
  });
  afterEach(async () => {
    for (const { child } of started) child.kill('SIGTERM');
    await Promise.all(started.map((one) => one.exitCode()));
    rmSync(folder, { recursive: true, force: true });
  });

  function run(nodeArguments: string[], environment: NodeJS.ProcessEnv = {}): Started {
    const one = new Started(
      spawn(process.execPath, nodeArguments, {
        cwd: projectRoot,
        env: { ...process.env, DISPLAY: '', WAYLAND_DISPLAY: '', ...environment },
        stdio: ['ignore', 'pipe', 'pipe'],
      }),
    );
    started.push(one);
    return one;
  }

  function start(options: string[], environment: NodeJS.ProcessEnv = {}): Started {
    return run(['scripts/start.mjs', '--data', folder, '--port', '0', ...options], environment);
  }

  it('serves the page at the address that it prints, where there is no display, and says why', async () => {
    const program = start([]);
    const [, address = ''] = await program.said(addressLine);
    expect(program.output).toMatch(/No window was opened, because there is no display/);
    const response = await fetch(address);
    expect(response.status).toBe(200);
    expect(await response.text()).toContain('<title>Proofarm</title>');
  });

  it('goes on without a window where CHROME_PATH names a browser that was removed, and says so', async () => {
    const gone = join(folder, 'removed-browser');
    const program = start([], { DISPLAY: ':7047', CHROME_PATH: gone });
    const [, address = ''] = await program.said(addressLine);
    expect(program.output).toContain(`No window was opened, because CHROME_PATH names ${gone}`);
    expect(program.output).not.toMatch(/^\s+at /m);
    expect((await fetch(address)).status).toBe(200);
    program.child.kill('SIGTERM');
    expect(await program.exitCode()).toBe(0);
  });

  it.each(['SIGINT', 'SIGTERM', 'SIGHUP'] as const)(
    'ends in order on %s and frees the data folder',
    async (signal) => {
      const program = start(['--no-window', '--simulated']);
      await program.said(addressLine);
      program.child.kill(signal);
      expect(await program.exitCode()).toBe(0);
      expect(existsSync(join(folder, 'instance.json'))).toBe(false);
      const log = readFileSync(join(folder, 'proofarm.log'), 'utf8');
      expect(log).toMatch(/"message":"ended"/);

      const next = start(['--no-window']);
      await next.said(addressLine);
      expect(next.output).not.toContain('already runs');
    },
  );

  it('goes on, and ends in order, when nobody reads any more what it says', async () => {
    const program = start(['--no-window', '--simulated']);
    const [, address = ''] = await program.said(addressLine);
    program.child.stdout?.destroy();
    program.child.stderr?.destroy();
    expect((await fetch(address)).status).toBe(200);
    program.child.kill('SIGHUP');
    expect(await program.exitCode()).toBe(0);
    const log = readFileSync(join(folder, 'proofarm.log'), 'utf8');
    expect(log).toMatch(/"message":"ended"/);
    expect(log).not.toMatch(/"message":"the program crashed"/);
  });

  it('finds the program that runs on the same data, says where, and leaves it alone', async () => {
    const first = start(['--no-window']);
    const [, address = ''] = await first.said(addressLine);
    const second = start([]);
    expect(await second.exitCode()).toBe(0);
    expect(second.output).toContain(`already runs on ${folder} (process ${String(first.child.pid)})`);
    expect(second.output).toContain(address);
    expect((await fetch(address)).status).toBe(200);
  });

  it('starts again after it was killed', async () => {
    const first = start(['--no-window']);
    await first.said(addressLine);
    first.child.kill('SIGKILL');
    await first.exitCode();
    const second = start(['--no-window']);
    await second.said(addressLine);
  });

  it('opens a second program on another folder beside it', async () => {
    const other = mkdtempSync(join(tmpdir(), 'proofarm-start-'));
    const first = start(['--no-window']);
    const second = start(['--no-window', '--data', other]);
    const [, atFirst] = await first.said(addressLine);
    const [, atSecond] = await second.said(addressLine);
    expect(atFirst).not.toBe(atSecond);
    second.child.kill('SIGINT');
    await second.exitCode();
    rmSync(other, { recursive: true });
  });

  it('refuses an unknown option with the list of those there are', async () => {
    const program = start(['--colour', 'red']);
    expect(await program.exitCode()).toBe(2);
    expect(program.output).toMatch(/--colour/);
    expect(program.output).toMatch(/--simulated/);
    expect(existsSync(join(folder, 'proofarm.db'))).toBe(false);
  });

  it.each(['fit', 'measure', 'recompute', 'simulate', 'demo', 'doctor', 'start'])(
    'ends "proofarm %s" with 2 where its options cannot be used, and says which there are',
    async (command) => {
      const program = run(['scripts/proofarm.mjs', command, '--colour', 'red']);
      expect(await program.exitCode()).toBe(2);
      expect(program.output).toMatch(/colour/);
      expect(program.output).toMatch(/--help/);
      expect(program.output).not.toMatch(/^\s+at /m);
    },
  );

  it('says what a data folder lacks and what to do', async () => {
    const file = join(folder, 'file');
    writeFileSync(file, 'in the way');
    const program = start(['--no-window', '--data', join(file, 'data')]);
    expect(await program.exitCode()).toBe(1);
    expect(program.output).toContain(join(file, 'data'));
    expect(program.output).not.toMatch(/^\s+at /m);
  });

  it('says how to get the desktop window where Electron is not there', async () => {
    const program = run(['scripts/start.mjs', '--host', 'desktop', '--data', folder]);
    expect(await program.exitCode()).toBe(1);
    expect(program.output).toMatch(/npx electron/);
    expect(existsSync(join(folder, 'proofarm.db'))).toBe(false);
  });

  it.each([
    'scripts/start.mjs',
    'scripts/proofarm.mjs',
    'scripts/build.mjs',
    'scripts/check.mjs',
    'scripts/test.mjs',
  ])('lets %s tell an older Node what to do before it loads anything', async (script) => {
    const pretence =
      'data:text/javascript,Object.defineProperty(process,"versions",{value:{...process.versions,node:"22.11.0"}})';
    const program = run(['--import', pretence, script, '--help']);
    expect(await program.exitCode()).toBe(1);
    expect(program.output).toMatch(/needs Node 22\.12 or newer; this is Node 22\.11\.0/);
  });

  describe('in a window of its own', () => {
    let environment: NodeJS.ProcessEnv;
    let windowArguments: string;

    /** The real browser without a screen: it gets the arguments of the program, and some that let a test look in. */
    beforeEach(async () => {
      const browser = await findTestBrowser();
      if (browser === null) throw new Error('There is no Chromium-family browser; "npm test" gets one.');
      windowArguments = join(folder, 'window-arguments');
      const wrapper = join(folder, 'browser');
      writeFileSync(
        wrapper,
        `#!/bin/sh\nprintf '%s\\n' "$@" > '${windowArguments}'\nexec '${browser}' --headless=new --remote-debugging-port=0 "$@"\n`,
        { mode: 0o755 },
      );
      environment = { DISPLAY: ':7047', CHROME_PATH: wrapper };
    });

    /** Where the browser answers a developer's questions. */
    async function developerAddress(): Promise<string> {
      const portFile = join(folder, 'window-profile', 'DevToolsActivePort');
      await expect.poll(() => existsSync(portFile), { timeout: 60_000 }).toBe(true);
      return `http://127.0.0.1:${readFileSync(portFile, 'utf8').split('\n')[0] ?? ''}`;
    }

    /** Other users of a machine can read the options of the browser: what lets a window in there must be worth nothing once it was used. */
    async function expectUsedTicket(address: string): Promise<void> {
      const asked = readFileSync(windowArguments, 'utf8');
      const { origin, host, hash } = new URL(address);
      const ticket = new RegExp(`^--app=${origin}/#ticket=(\\S+)$`, 'm').exec(asked)?.[1] ?? '';
      expect(ticket).not.toBe('');
      expect(asked).not.toContain(hash.replace('#token=', ''));
      const socket = new WebSocket(`ws://${host}/socket`, [wireProtocol, `ticket.${ticket}`], { origin });
      expect(await handshakeOutcome(socket)).toBe('403');
    }

    /** Waits until the page runs in the window, has taken the ticket out of its address and shows a place of the program. */
    async function shownPage(developer: string, url: string): Promise<void> {
      const { origin } = new URL(url);
      const isShown = async (): Promise<boolean> => {
        const pages = (await (await fetch(`${developer}/json/list`)).json()) as {
          url: string;
          title: string;
        }[];
        return pages.some(
          ({ url, title }) => url.startsWith(origin) && !url.includes('#') && title.endsWith('– Proofarm'),
        );
      };
      await expect.poll(isShown, { timeout: 60_000 }).toBe(true);
    }

    /** As the user does who closes the only window; without a screen, a closed page alone does not end the browser. */
    async function closeBrowser(developer: string): Promise<void> {
      const version = (await (await fetch(`${developer}/json/version`)).json()) as {
        webSocketDebuggerUrl: string;
      };
      const socket = new WebSocket(version.webSocketDebuggerUrl);
      await once(socket, 'open');
      socket.send('{"id":1,"method":"Browser.close"}');
      await once(socket, 'close');
    }

    it('opens the page there, says so, and ends when the window is closed', async () => {
      const program = start([], environment);
      const [, address = ''] = await program.said(addressLine);
      expect(program.output).toMatch(
        /Opened in a window of its own by .*browser.*\(Electron is not installed\)\./,
      );
      const developer = await developerAddress();
      await shownPage(developer, address);
      const asked = readFileSync(windowArguments, 'utf8').split('\n');
      await expectUsedTicket(address);
      expect(asked).toContain(`--user-data-dir=${join(folder, 'window-profile')}`);
      const isRoot = process.getuid?.() === 0;
      expect(asked.includes('--no-sandbox')).toBe(isRoot);
      expect(program.output.includes('without its sandbox because this is root')).toBe(isRoot);

      await closeBrowser(developer);
      expect(await program.exitCode()).toBe(0);
      expect(program.output).toContain('Window closed');
      expect(existsSync(join(folder, 'instance.json'))).toBe(false);
    });

    it('closes its window when the program is ended', async () => {
      const program = start([], environment);
      const [, address = ''] = await program.said(addressLine);
      const developer = await developerAddress();
      await shownPage(developer, address);
      program.child.kill('SIGINT');
      expect(await program.exitCode()).toBe(0);
      const isGone = async (): Promise<boolean> =>
        fetch(developer).then(
          () => false,
          () => true,
        );
      await expect.poll(isGone, { timeout: 60_000 }).toBe(true);
    });

    it('shows the running program in a window, on a second start', async () => {
      const first = start(['--no-window'], environment);
      const [, address = ''] = await first.said(addressLine);
      const second = start([], environment);
      expect(await second.exitCode()).toBe(0);
      expect(second.output).toContain('already runs on');
      const developer = await developerAddress();
      await shownPage(developer, address);
      await expectUsedTicket(address);
      await closeBrowser(developer);
    });
  });
});
