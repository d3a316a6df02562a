import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { projectRoot } from '../../scripts/project-root.mjs';
import type { PreloadBridge } from '../../shared-lib/preload-bridge.ts';
import { ElectronStandIn } from '../helpers/electron-stand-in.ts';

// Not in the package's types: how electron-builder itself reads its configuration.
const require = createRequire(import.meta.url);
const { getConfig } = require('app-builder-lib/out/util/config/config.js') as {
  getConfig(root: string, path: string | null, more: null): Promise<Record<string, unknown>>;
};

/** Name and text of every source file of a folder. */
function sourcesOf(folder: string): (readonly [string, string])[] {
  return readdirSync(join(projectRoot, folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && /\.(tsx?|html)$/.test(entry.name))
    .map((entry) => join(entry.parentPath, entry.name))
    .map((path) => [path.slice(projectRoot.length), readFileSync(path, 'utf8')] as const);
}

// All of main is loaded anew, which takes its time on a busy machine.
describe('the desktop program, before its window opens,', { timeout: 120_000 }, () => {
  const folders: string[] = [];
  const ownArguments = process.argv;
  let calls: string[];
  let schemes: unknown;

  beforeEach(() => {
    calls = [];
    vi.resetModules();
    vi.doMock('electron', () => ({
      ...new ElectronStandIn().module(),
      app: {
        enableSandbox: () => calls.push('sandbox'),
        setPath: () => undefined,
        requestSingleInstanceLock: () => false,
        whenReady: () => calls.push('ready'),
        quit: () => calls.push('quit'),
      },
      protocol: {
        registerSchemesAsPrivileged: (registered: unknown) => {
          schemes = registered;
        },
      },
      dialog: {},
      Menu: {},
      utilityProcess: {},
    }));
    const folder = mkdtempSync(join(tmpdir(), 'proofarm-test-'));
    folders.push(folder);
    process.argv = ['electron', 'electron-main.js', `--data=${folder}`];
  });
  afterEach(() => {
    process.argv = ownArguments;
    vi.doUnmock('electron');
    for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
  });

  it('puts every page into the sandbox first, and gives its scheme no right but to be a page', async () => {
    await import('../../main/hosts/electron/electron-main.ts');
    expect(calls).toEqual(['sandbox', 'quit']);
    // Neither bypassCSP nor corsEnabled nor allowServiceWorkers.
    expect(schemes).toEqual([
      { scheme: 'proofarm', privileges: { standard: true, secure: true, supportFetchAPI: true } },
    ]);
  });

  it('loads the page by its own scheme, never by file: or from a network', async () => {
    const electron = new ElectronStandIn();
    vi.doMock('electron', () => electron.module());
    const { createMainWindow, loadPage } = await import('../../main/hosts/electron/main-window.ts');
    await loadPage(createMainWindow('/program/preload.cjs'));
    expect(electron.windows[0]?.loadedAddresses).toEqual(['proofarm://page/']);
  });

  it('passes a page what it subscribed to, and nothing of Electron with it', async () => {
    const electron = new ElectronStandIn();
    vi.doMock('electron', () => electron.module());
    await import('../../main/hosts/electron/preload.ts');
    const bridge = electron.exposed.get('proofarm') as PreloadBridge;
    const received: unknown[][] = [];
    bridge.subscribe('trialsChanged', (...values: unknown[]) => received.push(values));
    electron.webContents.send('proofarm:event', 'trialsChanged', { trialId: 'a' });
    electron.webContents.send('proofarm:event', 'catalogueChanged', {});
    await expect.poll(() => received).toEqual([[{ trialId: 'a' }]]);
  });
});

describe('the sources of the program', () => {
  it('take from Electron what a window needs, and nothing that opens other programs, addresses or views', () => {
    const taken = new Set<string>();
    for (const [path, text] of ['main', 'renderer', 'shared-lib'].flatMap(sourcesOf)) {
      for (const [, names = ''] of text.matchAll(/import (?:type )?\{([^}]*)\} from 'electron'/g)) {
        expect(path).toMatch(/^\/?main\/hosts\/electron\//);
        for (const name of names.split(',')) taken.add(name.trim().replace(/^type /, ''));
      }
      expect(text.match(/from 'electron'|require\('electron'\)/g)?.length ?? 0, path).toBe(
        [...text.matchAll(/import (?:type )?\{[^}]*\} from 'electron'/g)].length,
      );
    }
    expect([...taken].toSorted()).toEqual([
      'BrowserWindow',
      'IpcMainInvokeEvent',
      'Menu',
      'Session',
      'WebContents',
      'app',
      'contextBridge',
      'dialog',
      'ipcMain',
      'ipcRenderer',
      'protocol',
      'utilityProcess',
    ]);
  });

  it('of the page turn no text into markup or code, and load nothing from elsewhere', () => {
    const sources = sourcesOf('renderer');
    expect(sources.length).toBeGreaterThan(100);
    for (const [path, text] of sources) {
      expect(text, path).not.toMatch(
        /dangerouslySetInnerHTML|\.(inner|outer)HTML\b|insertAdjacentHTML|document\.write|\beval\(|new Function\(|srcdoc|<webview|<iframe|javascript:/i,
      );
      expect(text, path).not.toMatch(/(?:src|href|url\()\s*=?\s*["'{`(]*(?:https?|wss?):\/\//i);
    }
  });
});

describe('an installed program', () => {
  it('runs no other script, takes no options of Node and gives file: no rights, by its fuses', async () => {
    const { electronFuses } = await getConfig(projectRoot, null, null);
    expect(electronFuses).toEqual({
      runAsNode: false,
      enableNodeOptionsEnvironmentVariable: false,
      enableNodeCliInspectArguments: false,
      onlyLoadAppFromAsar: true,
      grantFileProtocolExtraPrivileges: false,
    });
  });

  it('carries the notices of what it contains where they can be read without it', async () => {
    const { extraResources } = await getConfig(projectRoot, null, null);
    expect(JSON.stringify(extraResources)).toContain('packaging/third-party-licences.txt');
  });
});
