import { type ChildProcess, fork } from 'node:child_process';
import { EventEmitter, once } from 'node:events';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { buildStaleParts } from '../../scripts/build-parts.mjs';
import { IpcConnection } from '../../renderer/api-client/ipc-connection.ts';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import type { PreloadBridge } from '../../shared-lib/preload-bridge.ts';
import { ElectronStandIn } from '../helpers/electron-stand-in.ts';

/** Electron's `app`, as far as starting, being the only one and ending go. */
class StandInApp extends EventEmitter {
  readonly paths = new Map<string, string>();
  isOnlyInstance = true;
  exitCode: number | null = null;

  enableSandbox(): void {
    this.emit('sandbox-enabled');
  }
  setPath(name: string, path: string): void {
    if (!existsSync(path)) throw new Error(`Failed to set path: ${path} does not exist`);
    this.paths.set(name, path);
  }
  requestSingleInstanceLock(): boolean {
    return this.isOnlyInstance;
  }
  async whenReady(): Promise<void> {
    await Promise.resolve();
  }
  quit(): void {
    const prevented: true[] = [];
    this.emit('before-quit', { preventDefault: () => prevented.push(true) });
    if (prevented.length === 0) this.exit(0);
  }
  exit(code: number): void {
    this.exitCode = code;
    this.emit('ended');
  }
}

/** `utilityProcess.fork` as a process of Node: the reader tells the two apart by what its parent gives it. */
function forkUtility(file: string): object {
  const child: ChildProcess = fork(file, [], { serialization: 'advanced' });
  return Object.assign(child, { postMessage: (message: object) => child.send(message) });
}

describe('the desktop program', () => {
  let folder: string;
  let electron: ElectronStandIn;
  let app: StandInApp;
  let shownErrors: string[];
  let schemes: Map<string, (request: Request) => Promise<Response>>;
  const ownArguments = process.argv;

  beforeEach(async () => {
    await buildStaleParts(() => undefined);
    folder = mkdtempSync(join(tmpdir(), 'proofarm-desktop-'));
    electron = new ElectronStandIn();
    app = new StandInApp();
    shownErrors = [];
    schemes = new Map();
    vi.resetModules();
    vi.doMock('electron', () => ({
      ...electron.module(),
      app,
      dialog: { showErrorBox: (_title: string, message: string) => shownErrors.push(message) },
      Menu: { setApplicationMenu: () => undefined },
      protocol: {
        registerSchemesAsPrivileged: () => undefined,
        handle: (scheme: string, answer: (request: Request) => Promise<Response>) =>
          schemes.set(scheme, answer),
      },
      utilityProcess: { fork: forkUtility },
    }));
  });
  afterEach(() => {
    process.argv = ownArguments;
    vi.doUnmock('electron');
    rmSync(folder, { recursive: true, force: true });
  });

  /** Until its window shows the page, or it has ended. */
  async function start(dataFolder: string, ...options: string[]): Promise<void> {
    process.argv = ['electron', 'electron-main.js', `--data=${dataFolder}`, ...options];
    await import('../../main/hosts/electron/electron-main.ts');
    await expect
      .poll(() => electron.windows[0]?.loadedAddresses.length === 1 || app.exitCode !== null, {
        timeout: 60_000,
      })
      .toBe(true);
  }

  async function connection(): Promise<IpcConnection> {
    await import('../../main/hosts/electron/preload.ts');
    return new IpcConnection(electron.exposed.get('proofarm') as PreloadBridge);
  }

  it('shows the page, answers it, reads in a process of its own and ends in order', async () => {
    await start(folder, '--simulated');
    expect(shownErrors).toStrictEqual([]);
    expect(electron.windows[0]!.loadedAddresses).toStrictEqual(['proofarm://page/']);
    const page = await schemes.get('proofarm')!(new Request('proofarm://page/bench'));
    expect(await page.text()).toContain('<title>Proofarm</title>');

    const window = await connection();
    expect(await window.request('getStatus', {})).toMatchObject({ host: 'desktop', dataFolder: folder });
    const measuring = new Promise<BenchStatus>((resolve) => {
      window.subscribe('statusChanged', (status) => {
        if (status.amplifier.counters.samples > 0) resolve(status);
      });
    });
    expect((await measuring).amplifier.source).toBe('simulated');
    expect(JSON.parse(readFileSync(join(folder, 'instance.json'), 'utf8'))).toMatchObject({
      url: 'proofarm://page/',
      pid: process.pid,
    });

    app.emit('window-all-closed');
    await once(app, 'ended');
    expect(app.exitCode).toBe(0);
    expect(existsSync(join(folder, 'instance.json'))).toBe(false);
    await expect(window.request('getStatus', {})).rejects.toMatchObject({ code: 'connection-lost' });
  });

  it('leaves the field to the first of two windows on one folder', async () => {
    app.isOnlyInstance = false;
    await start(folder);
    expect(app.exitCode).toBe(0);
    expect(electron.windows).toStrictEqual([]);
    expect(existsSync(join(folder, 'proofarm.db'))).toBe(false);
  });

  it('says where the program runs already, when that is in a browser', async () => {
    const { acquireInstanceLock } = await import('../../main/storage/instance-lock.ts');
    const other = acquireInstanceLock(folder);
    if ('runningAt' in other) throw new Error('the folder is new');
    other.publish('http://127.0.0.1:47120/#token=x');
    await start(folder);
    expect(app.exitCode).toBe(1);
    expect(shownErrors.join()).toContain('http://127.0.0.1:47120/#token=x');
    other.release();
  });

  it('says what is wrong with a data folder that cannot be used', async () => {
    const file = join(folder, 'file');
    writeFileSync(file, 'in the way');
    await start(join(file, 'data'));
    expect(app.exitCode).toBe(1);
    expect(shownErrors.join()).toContain(join(file, 'data'));
  });
});
