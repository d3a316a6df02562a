import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { createDispatcher } from '../../main/dispatch-request.ts';
import { requestChannel } from '../../main/hosts/electron/ipc-channels.ts';
import { fileOfPage, respondWithPageFile } from '../../main/hosts/electron/page-files.ts';
import type { PreloadBridge } from '../../shared-lib/preload-bridge.ts';
import { ElectronStandIn } from '../helpers/electron-stand-in.ts';
import { createScriptedServices } from '../helpers/scripted-services.ts';
import { createPageFolder, removePageFolder, silentLog } from './transports.ts';

describe('the desktop host', () => {
  let electron: ElectronStandIn;
  let pageFolder: string;

  beforeEach(async () => {
    electron = new ElectronStandIn();
    vi.resetModules();
    vi.doMock('electron', () => electron.module());
    pageFolder = await createPageFolder();
    await mkdir(join(pageFolder, 'assets'));
    await writeFile(join(pageFolder, 'assets', 'app.js'), 'void 0;');
    await writeFile(join(pageFolder, '..', 'outside.txt'), 'outside');
  });
  afterEach(async () => {
    vi.doUnmock('electron');
    await removePageFolder(pageFolder);
  });

  async function serve(): Promise<() => void> {
    const services = createScriptedServices();
    services.script('listPorts', () => ({ ports: [] }));
    const { serveWindow } = await import('../../main/hosts/electron/ipc-transport.ts');
    return serveWindow(
      electron.webContents as never,
      createDispatcher(services.handlers, silentLog),
      services,
      silentLog,
    );
  }

  it('gives the page exactly request and subscribe', async () => {
    await import('../../main/hosts/electron/preload.ts');
    expect([...electron.exposed.keys()]).toStrictEqual(['proofarm']);
    expect(Object.keys(electron.exposed.get('proofarm') as object).sort()).toStrictEqual([
      'request',
      'subscribe',
    ]);
  });

  it('leaves no listener behind when a subscription ends', async () => {
    await import('../../main/hosts/electron/preload.ts');
    const bridge = electron.exposed.get('proofarm') as PreloadBridge;
    const unsubscribe = bridge.subscribe('statusChanged', () => undefined);
    expect(electron.listenerCount()).toBe(1);
    unsubscribe();
    expect(electron.listenerCount()).toBe(0);
  });

  it('answers its own window', async () => {
    await serve();
    expect(await electron.ipcRenderer.invoke(requestChannel, 'listPorts', {})).toStrictEqual({
      ok: true,
      result: { ports: [] },
    });
  });

  it.each([
    [
      'a frame inside the page',
      (own: ElectronStandIn) => ({ frame: { ...own.mainFrame }, sender: own.webContents }),
    ],
    ['another window', (own: ElectronStandIn) => ({ frame: own.mainFrame, sender: {} })],
    ['a frame that is gone', (own: ElectronStandIn) => ({ frame: null, sender: own.webContents })],
  ])('refuses a request of %s', async (_, from) => {
    await serve();
    const reply = await electron.invokeFrom(from(electron), requestChannel, 'listPorts', {});
    expect(reply).toMatchObject({ ok: false, error: { code: 'not-authorised' } });
  });

  it.each([
    'https://evil.example/',
    'file:///etc/passwd',
    'proofarm://other/',
    'proofarm://page.evil.example/',
  ])('refuses a request of its own window once that shows %s', async (url) => {
    await serve();
    electron.mainFrame.url = url;
    const reply = await electron.ipcRenderer.invoke(requestChannel, 'listPorts', {});
    expect(reply).toMatchObject({ ok: false, error: { code: 'not-authorised' } });
  });

  it('opens its window in the sandbox, apart from Node and from what the page can reach', async () => {
    const { createMainWindow } = await import('../../main/hosts/electron/main-window.ts');
    createMainWindow('/program/preload.cjs');
    expect(electron.windows[0]?.options.webPreferences).toStrictEqual({
      preload: '/program/preload.cjs',
      sandbox: true,
      contextIsolation: true,
      nodeIntegration: false,
      webSecurity: true,
      webviewTag: false,
    });
  });

  it('denies new windows, navigation and every permission but to keep the screen awake', async () => {
    const { createMainWindow } = await import('../../main/hosts/electron/main-window.ts');
    createMainWindow('/program/preload.cjs');
    const window = electron.windows[0]!;
    expect(window.openWindow('https://evil.example/')).toStrictEqual({ action: 'deny' });
    for (const event of ['will-navigate', 'will-frame-navigate', 'will-redirect', 'will-attach-webview']) {
      expect(window.isPrevented(event, { url: 'https://evil.example/', isMainFrame: true })).toBe(true);
    }
    const shown = window.shownAddress;
    for (const event of ['will-navigate', 'will-frame-navigate']) {
      expect(window.isPrevented(event, { url: shown, isMainFrame: true })).toBe(false);
      expect(window.isPrevented(event, { url: shown, isMainFrame: false })).toBe(true);
      expect(window.isPrevented(event, { url: 'proofarm://page/bench', isMainFrame: true })).toBe(true);
    }
    window.shownAddress = 'https://evil.example/';
    expect(window.isPrevented('will-navigate', { url: 'https://evil.example/', isMainFrame: true })).toBe(
      true,
    );
    for (const permission of [
      'media',
      'geolocation',
      'notifications',
      'serial',
      'usb',
      'hid',
      'clipboard-read',
      'system-wake-lock',
      'fullscreen',
      'openExternal',
    ]) {
      expect(window.isPermitted(permission)).toBe(false);
    }
    expect(window.isPermitted('screen-wake-lock')).toBe(true);
  });

  it.each(['proofarm://page/', 'proofarm://page/bench', 'proofarm://page/logbook/0198?tab=1#x'])(
    'serves the page for %s, with the policy',
    async (address) => {
      const response = await respondWithPageFile(pageFolder, address);
      expect(response.status).toBe(200);
      expect(await response.text()).toContain('<title>page</title>');
      expect(response.headers.get('content-type')).toBe('text/html; charset=utf-8');
      expect(response.headers.get('content-security-policy')).toBe(
        "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self' data: blob:; connect-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'",
      );
    },
  );

  it('serves the files of the page with their kind', async () => {
    const response = await respondWithPageFile(pageFolder, 'proofarm://page/assets/app.js');
    expect(response.headers.get('content-type')).toBe('text/javascript; charset=utf-8');
    expect(await response.text()).toBe('void 0;');
  });

  it.each([
    'proofarm://page/../outside.txt',
    'proofarm://page/..%2foutside.txt',
    'proofarm://page/%2e%2e/outside.txt',
    'proofarm://page/assets/..%5c..%5coutside.txt',
    'proofarm://page/assets/%00.js',
    'proofarm://page/%ff.js',
    'proofarm://page/assets/gone.js',
    'proofarm://other/index.html',
    'file:///etc/passwd',
    'not an address',
  ])('gives nothing for %s', async (address) => {
    const response = await respondWithPageFile(pageFolder, address);
    expect(response.status).toBe(404);
    expect(await response.text()).not.toContain('outside');
  });

  it('never names a file outside the folder of the page', () => {
    expect(fileOfPage('/program/renderer', 'proofarm://page/..%2frenderer-other/app.js')).toBeNull();
    expect(fileOfPage('/program/renderer/', 'proofarm://page/assets/app.js')).toBe(
      '/program/renderer/assets/app.js',
    );
  });
});
