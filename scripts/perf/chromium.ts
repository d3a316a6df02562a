import { execFileSync } from 'node:child_process';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';
import { findTestBrowser, sandboxArguments } from '../find-browser.mjs';

/** More than anything else in the browser does meanwhile. */
const BUSY_MS = 200;

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

/** The process of a page, which no browser names: the one that works when the page is kept busy for a moment. */
export async function rendererPidOf(page: Page): Promise<number> {
  const browser = page.context().browser();
  if (browser === null) throw new Error('Only the browser itself knows its processes');
  const session = await browser.newBrowserCDPSession();
  const renderers = async (): Promise<Map<number, number>> => {
    const { processInfo } = await session.send('SystemInfo.getProcessInfo');
    return new Map(
      processInfo.filter(({ type }) => type === 'renderer').map(({ id, cpuTime }) => [id, cpuTime]),
    );
  };
  const before = await renderers();
  await page.evaluate((busyMs) => {
    const endMs = performance.now() + busyMs;
    while (performance.now() < endMs);
  }, BUSY_MS);
  const after = await renderers();
  await session.detach();
  const [busiest] = [...after]
    .map(([pid, cpuS]) => ({ pid, workedS: cpuS - (before.get(pid) ?? 0) }))
    .toSorted((one, other) => other.workedS - one.workedS);
  if (busiest === undefined) throw new Error('This browser names no process of a page');
  return busiest.pid;
}
