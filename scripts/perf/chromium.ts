import { execFileSync } from 'node:child_process';
import { type Browser, chromium } from 'playwright-core';
import { findTestBrowser, sandboxArguments } from '../find-browser.mjs';

async function executablePath(): Promise<string> {
  const found = await findTestBrowser();
  if (found === null) throw new Error('There is no Chromium-family browser; "npm test" gets one.');
  return found;
}

export async function openChromium(): Promise<Browser> {
  return chromium.launch({ executablePath: await executablePath(), args: sandboxArguments() });
}

export async function chromiumVersion(): Promise<string> {
  // What a starting script of the browser complains of is not about its version.
  const stdio = ['ignore', 'pipe', 'ignore'] as const;
  return execFileSync(await executablePath(), ['--version'], { encoding: 'utf8', stdio: [...stdio] }).trim();
}
