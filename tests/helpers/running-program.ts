import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { chromium, type Browser, type Page } from 'playwright-core';
import { onTestFailed } from 'vitest';
import { findTestBrowser, sandboxArguments } from '../../scripts/find-browser.mjs';

const startScript = fileURLToPath(new URL('../../scripts/start.mjs', import.meta.url));

/** A step of an operator takes a second or two, and many times that on a machine that does much else. */
const STEP_TIMEOUT_MS = 90_000;

export interface RunningProgram {
  /** Opens the page with the token of this start. */
  readonly url: string;
  readonly process: ChildProcess;
  /** Asks it to end as Ctrl+C does, and waits; gives the exit code. */
  end(): Promise<number | null>;
}

/** The program as `npm start` starts it, without a window of its own. */
export async function startProgram(
  dataFolder: string,
  options: readonly string[] = [],
): Promise<RunningProgram> {
  const child = spawn(
    process.execPath,
    [startScript, '--no-window', '--port', '0', '--data', dataFolder, ...options],
    { stdio: ['ignore', 'pipe', 'inherit'] },
  );
  const exited = once(child, 'exit');
  const url = await new Promise<string>((resolve, reject) => {
    const lines = createInterface({ input: child.stdout });
    lines.on('line', (line) => {
      const address = /^Address: (http\S+)$/.exec(line)?.[1];
      if (address !== undefined) resolve(address);
    });
    void exited.then(([code]) => {
      reject(new Error(`The program ended with ${String(code)} before it said its address`));
    });
  });
  return {
    url,
    process: child,
    async end() {
      child.kill('SIGINT');
      const [code] = (await exited) as [number | null];
      return code;
    },
  };
}

export async function openBrowser(): Promise<Browser> {
  const found = await findTestBrowser();
  if (found === null) throw new Error('There is no Chromium-family browser; "npm test" gets one');
  return chromium.launch({
    executablePath: found,
    args: sandboxArguments(),
  });
}

/** A page on the program's address and what it complains of. Where the test fails, its picture goes to test-results/. */
export async function openPage(browser: Browser, url: string): Promise<{ page: Page; complaints: string[] }> {
  const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
  page.setDefaultTimeout(STEP_TIMEOUT_MS);
  const complaints: string[] = [];
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(message.text());
  });
  onTestFailed(async ({ task }) => {
    if (page.isClosed()) return;
    await page.screenshot({ path: `test-results/${task.name.replaceAll(/[^\w]+/g, '-')}.png` });
  });
  await page.goto(url);
  // Until it is drawn, which is after it was loaded, no key does anything.
  await page.waitForFunction(() => document.getElementById('app')?.childElementCount !== 0);
  return { page, complaints };
}
