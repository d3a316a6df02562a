import { chromium, type Browser, type Page } from 'playwright-core';
import { onTestFailed } from 'vitest';
import { findTestBrowser, sandboxArguments } from '../../scripts/find-browser.mjs';

/** A step of an operator takes a second or two, and many times that on a machine that does much else. */
const STEP_TIMEOUT_MS = 90_000;

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
