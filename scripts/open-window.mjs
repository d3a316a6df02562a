import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { findBrowser, missingBrowser, sandboxArguments } from './find-browser.mjs';

/**
 * `note` is a clause for the terminal that says which window was opened and why.
 *
 * @typedef {object} OpenedWindow
 * @property {string} note
 * @property {import('node:child_process').ChildProcess | null} process ends with its window; null: not ours to follow
 */

/**
 * Opens the page as well as this machine can: in a Chromium window of its own, else in the default browser.
 *
 * @param {string} url with a ticket, since other users of the machine can read options of running programs
 * @param {string} dataFolder the window keeps its own profile there, apart from the user's browsing
 * @returns {Promise<OpenedWindow>}
 */
export async function openWindow(url, dataFolder) {
  if (!hasDisplay()) {
    return {
      note: 'No window was opened, because there is no display (neither DISPLAY nor WAYLAND_DISPLAY is set); open the address in a browser on this machine',
      process: null,
    };
  }
  const missing = missingBrowser();
  if (missing !== null) {
    return {
      note: `No window was opened, because CHROME_PATH names ${missing}, which is not there; correct or unset it, and open the address in a browser on this machine`,
      process: null,
    };
  }
  const browser = findBrowser();
  if (browser === null) return openInDefaultBrowser(url);

  const child = spawn(
    browser,
    [
      `--app=${url}`,
      `--user-data-dir=${join(dataFolder, 'window-profile')}`,
      '--window-size=1440,900',
      '--no-first-run',
      '--no-default-browser-check',
      ...sandboxArguments(),
    ],
    { stdio: 'ignore' },
  );
  try {
    await once(child, 'spawn');
  } catch {
    return openInDefaultBrowser(url);
  }
  const sandboxNote = sandboxArguments().length > 0 ? ', without its sandbox because this is root' : '';
  return { note: `Opened in a window of its own by ${browser}${sandboxNote}`, process: child };
}

/**
 * @param {string} url
 * @returns {Promise<OpenedWindow>}
 */
async function openInDefaultBrowser(url) {
  const { default: open } = await import('open');
  try {
    await open(url);
    return {
      note: 'Opened in the default browser, because no Chromium-family browser was found',
      process: null,
    };
  } catch {
    return {
      note: 'No window was opened, because no browser could be started; open the address in a browser on this machine',
      process: null,
    };
  }
}

export function hasDisplay() {
  if (process.platform !== 'linux') return true;
  return [process.env['DISPLAY'], process.env['WAYLAND_DISPLAY']].some(
    (name) => name !== undefined && name !== '',
  );
}

/**
 * Electron's executable. Never found by loading the package, which would start a download.
 *
 * @param {string} packageFolder
 * @param {(path: string) => string} readText
 * @returns {string | null}
 */
export function findElectron(packageFolder, readText) {
  const pathFile = join(packageFolder, 'path.txt');
  if (!existsSync(pathFile)) return null;
  const executable = join(packageFolder, 'dist', readText(pathFile).trim());
  return existsSync(executable) ? executable : null;
}
