import { existsSync } from 'node:fs';
import { homedir } from 'node:os';
import { delimiter, join } from 'node:path';

const namesOnPath = [
  'chromium',
  'chromium-browser',
  'google-chrome',
  'google-chrome-stable',
  'chrome',
  'microsoft-edge',
  'microsoft-edge-stable',
  'brave-browser',
];

const macNames = ['Google Chrome', 'Chromium', 'Microsoft Edge', 'Brave Browser'];

const windowsPaths = [
  'Google\\Chrome\\Application\\chrome.exe',
  'Chromium\\Application\\chrome.exe',
  'Microsoft\\Edge\\Application\\msedge.exe',
  'BraveSoftware\\Brave-Browser\\Application\\brave.exe',
];

/**
 * The executable of a Chromium-family browser: the one named by CHROME_PATH, else one from the path, else one from
 * where such browsers are installed on this system. Null: none was found. Throws where the named one is missing.
 *
 * @param {Readonly<Record<string, string | undefined>>} [environment]
 * @param {NodeJS.Platform} [system]
 * @returns {string | null}
 */
export function findBrowser(environment = process.env, system = process.platform) {
  const missing = missingBrowser(environment);
  if (missing !== null) {
    throw new Error(
      `CHROME_PATH names ${missing}, which is not there. Correct it, or unset it to have one looked for.`,
    );
  }
  const named = environment['CHROME_PATH'];
  if (named !== undefined && named !== '') return named;
  return candidates(environment, system).find((path) => existsSync(path)) ?? null;
}

/**
 * What CHROME_PATH names where that is not there, such as a browser that was removed since; else null.
 *
 * @param {Readonly<Record<string, string | undefined>>} [environment]
 * @returns {string | null}
 */
export function missingBrowser(environment = process.env) {
  const named = environment['CHROME_PATH'];
  return named === undefined || named === '' || existsSync(named) ? null : named;
}

/**
 * As findBrowser, and then the one that playwright-core has downloaded for its tests.
 *
 * @returns {Promise<string | null>}
 */
export async function findTestBrowser() {
  const found = findBrowser();
  if (found !== null) return found;
  const { chromium } = await import('playwright-core');
  const downloaded = chromium.executablePath();
  return existsSync(downloaded) ? downloaded : null;
}

/**
 * What a Chromium needs in order to start at all under this account.
 *
 * @returns {string[]}
 */
export function sandboxArguments() {
  return process.getuid?.() === 0 ? ['--no-sandbox'] : [];
}

/**
 * @param {Readonly<Record<string, string | undefined>>} environment
 * @param {NodeJS.Platform} system
 * @returns {string[]}
 */
function candidates(environment, system) {
  if (system === 'win32') {
    const folders = [
      environment['ProgramFiles'],
      environment['ProgramFiles(x86)'],
      environment['LOCALAPPDATA'],
    ];
    return windowsPaths.flatMap((path) =>
      folders.filter((folder) => folder !== undefined).map((folder) => join(folder, path)),
    );
  }
  const folders = (environment['PATH'] ?? '').split(delimiter).filter((folder) => folder !== '');
  const onPath = namesOnPath.flatMap((name) => folders.map((folder) => join(folder, name)));
  if (system !== 'darwin') return onPath;
  const applications = ['/Applications', join(environment['HOME'] ?? homedir(), 'Applications')];
  return macNames
    .flatMap((name) => applications.map((folder) => join(folder, `${name}.app`, 'Contents', 'MacOS', name)))
    .concat(onPath);
}
