import { BrowserWindow, type Session } from 'electron';
import { isOwnPage, pageAddress } from './page-files.ts';

/** The one window. Its page gets the bridge of the preload script and nothing else of Electron or Node. */
export function createMainWindow(preloadFile: string): BrowserWindow {
  const window = new BrowserWindow({
    width: 1440,
    height: 900,
    show: false,
    title: 'Proofarm',
    webPreferences: {
      preload: preloadFile,
      sandbox: true,
      contextIsolation: true,
      nodeIntegration: false,
      webSecurity: true,
      webviewTag: false,
    },
  });
  const { webContents } = window;
  webContents.setWindowOpenHandler(() => ({ action: 'deny' }));
  // To the address that it shows is no way out: the page reloads itself after a restore, and when somebody asks for it.
  const isReload = ({ url, isMainFrame }: { readonly url: string; readonly isMainFrame: boolean }): boolean =>
    isMainFrame && isOwnPage(url) && url === webContents.getURL();
  webContents.on('will-navigate', (event) => {
    if (!isReload(event)) event.preventDefault();
  });
  webContents.on('will-frame-navigate', (event) => {
    if (!isReload(event)) event.preventDefault();
  });
  webContents.on('will-redirect', (event) => {
    event.preventDefault();
  });
  webContents.on('will-attach-webview', (event) => {
    event.preventDefault();
  });
  limitPermissions(webContents.session);
  window.once('ready-to-show', () => {
    window.show();
  });
  return window;
}

export async function loadPage(window: BrowserWindow): Promise<void> {
  await window.loadURL(pageAddress);
}

/** The screen stays awake while a run sheet is on the bench. */
const PERMITTED = 'screen-wake-lock';

/** Camera, microphone, location, devices, notifications: the page needs none of them. */
function limitPermissions(session: Session): void {
  session.setPermissionRequestHandler((_webContents, permission, answer) => {
    answer(permission === PERMITTED);
  });
  session.setPermissionCheckHandler((_webContents, permission) => permission === PERMITTED);
  session.setDevicePermissionHandler(() => false);
}
