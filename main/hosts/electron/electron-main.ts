import { mkdirSync } from 'node:fs';
import { homedir } from 'node:os';
import { join, resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { app, dialog, Menu, protocol } from 'electron';
import { AppError } from '../../../shared-lib/app-error.ts';
import { createDispatcher } from '../../dispatch-request.ts';
import { defaultDataFolder } from '../../platform/default-data-folder.ts';
import { prepareDataFolder } from '../../storage/data-folder.ts';
import { preloadFile, readerEntry, rendererFolder } from '../program-files.ts';
import { startServices } from '../start-services.ts';
import { serveWindow } from './ipc-transport.ts';
import { createMainWindow, loadPage } from './main-window.ts';
import { pageAddress, pageScheme, respondWithPageFile } from './page-files.ts';
import { startUtilityReader } from './utility-reader.ts';

// Electron and Chromium have options of their own, so unknown ones are theirs.
const { values } = parseArgs({
  args: process.argv.slice(1),
  options: { data: { type: 'string' }, simulated: { type: 'boolean' } },
  strict: false,
});
const dataFolder = resolve(
  typeof values.data === 'string' ? values.data : defaultDataFolder(process.platform, process.env, homedir()),
);

app.enableSandbox();
protocol.registerSchemesAsPrivileged([
  { scheme: pageScheme, privileges: { standard: true, secure: true, supportFetchAPI: true } },
]);

try {
  prepareDataFolder(dataFolder);
  const windowFolder = join(dataFolder, 'window-desktop');
  mkdirSync(windowFolder, { recursive: true });
  // One instance per data folder, since Electron ties that to this path.
  app.setPath('userData', windowFolder);
  if (app.requestSingleInstanceLock()) {
    app.whenReady().then(run).catch(endWithMessage);
  } else {
    // The first instance is told of this one and shows its window.
    app.quit();
  }
} catch (error) {
  endWithMessage(error);
}

async function run(): Promise<void> {
  // Its entries lead to places that are not ours; on macOS copy and paste live in it.
  if (process.platform !== 'darwin') Menu.setApplicationMenu(null);
  const started = await startServices({
    dataFolder,
    host: 'desktop',
    isSimulated: values.simulated === true,
    startReader: () => startUtilityReader(readerEntry),
  });
  if ('runningAt' in started) {
    throw new AppError(
      'already-running',
      `Another start of the program works on ${dataFolder}${started.runningAt === null ? '' : ` and answers in a browser at ${started.runningAt.url}`}. Nothing was changed; use that one, or end it first.`,
    );
  }

  const { services, log } = started;
  const dispatcher = createDispatcher(services.handlers, log);
  protocol.handle(pageScheme, (request) => respondWithPageFile(rendererFolder, request.url));
  const window = createMainWindow(preloadFile);
  const stopServing = serveWindow(window.webContents, dispatcher, services, log);
  app.on('second-instance', () => {
    if (window.isMinimized()) window.restore();
    window.focus();
  });
  started.publish(pageAddress);

  // The first request to quit waits until everything is stored.
  let isStoring = false;
  let isStored = false;
  app.on('before-quit', (event) => {
    if (isStored) return;
    event.preventDefault();
    if (isStoring) return;
    isStoring = true;
    dispatcher.beginShutdown();
    started.end().then(
      () => {
        isStored = true;
        stopServing();
        app.quit();
      },
      (error: unknown) => {
        log.error('the program did not end in order', { cause: error });
        endWithMessage(error);
      },
    );
  });
  app.on('window-all-closed', () => {
    app.quit();
  });
  await loadPage(window);
}

function endWithMessage(error: unknown): void {
  const message = error instanceof Error ? error.message : String(error);
  dialog.showErrorBox('Proofarm could not start or end in order', message);
  app.exit(1);
}
