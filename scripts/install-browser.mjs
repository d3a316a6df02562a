import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { findTestBrowser } from './find-browser.mjs';

/**
 * Gets a browser for the tests: from Debian as root, elsewhere the one that playwright-core brings for its own use.
 * Null, after saying what to type, where neither works.
 *
 * @returns {Promise<string | null>}
 */
export async function installBrowser() {
  const isRootOnDebian = process.getuid?.() === 0 && existsSync('/usr/bin/apt-get');
  /** @type {string[][]} */
  const commands = isRootOnDebian
    ? [
        ['apt-get', 'update'],
        ['apt-get', 'install', '-y', '--no-install-recommends', 'chromium'],
      ]
    : [['npx', 'playwright-core', 'install', 'chromium']];
  console.log('A Chromium-family browser is needed, and none was found. Getting one:');
  for (const [program = '', ...programArguments] of commands) {
    console.log(`  ${[program, ...programArguments].join(' ')}`);
    spawnSync(program, programArguments, {
      stdio: 'inherit',
      shell: process.platform === 'win32',
      env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
    });
  }
  const browser = await findTestBrowser();
  if (browser === null) {
    console.error(`No browser could be got, so nothing was run. Do one of these, then start again:
  sudo apt-get install -y chromium          on Debian and Ubuntu
  npx playwright-core install chromium      elsewhere, with access to the internet
  CHROME_PATH=/path/to/browser npm test     with a browser that is installed already`);
  }
  return browser;
}
