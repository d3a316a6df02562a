import { execFileSync } from 'node:child_process';
import { type Browser, type BrowserContext, chromium } from 'playwright-core';
import { findTestBrowser, sandboxArguments } from '../find-browser.mjs';

async function executablePath(): Promise<string> {
  const found = await findTestBrowser();
  if (found === null) throw new Error('There is no Chromium-family browser; "npm test" gets one.');
  return found;
}

export async function openChromium(): Promise<Browser> {
  return chromium.launch({ executablePath: await executablePath(), args: sandboxArguments() });
}

/** With a profile that is kept, as the program's own window has one: compiled code and files are there from before. */
export async function openChromiumOn(profileFolder: string): Promise<BrowserContext> {
  return chromium.launchPersistentContext(profileFolder, {
    executablePath: await executablePath(),
    args: sandboxArguments(),
    viewport: { width: 1440, height: 900 },
  });
}

export async function chromiumVersion(): Promise<string> {
  // What a starting script of the browser complains of is not about its version.
  const stdio = ['ignore', 'pipe', 'ignore'] as const;
  return execFileSync(await executablePath(), ['--version'], { encoding: 'utf8', stdio: [...stdio] }).trim();
}

/** The process of the page that has been busy longest; there may be a spare one beside it. */
export async function busiestRendererPid(browser: Browser): Promise<number> {
  const session = await browser.newBrowserCDPSession();
  const { processInfo } = await session.send('SystemInfo.getProcessInfo');
  await session.detach();
  const [busiest] = processInfo
    .filter(({ type }) => type === 'renderer')
    .toSorted((one, other) => other.cpuTime - one.cpuTime);
  if (busiest === undefined) throw new Error('This browser names no process of a page');
  return busiest.id;
}
