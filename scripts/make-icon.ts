import { readFileSync, writeFileSync } from 'node:fs';
import { chromium } from 'playwright-core';
import { findTestBrowser, sandboxArguments } from './find-browser.mjs';

/**
 * `npx node scripts/make-icon.ts` draws renderer/public/icon.svg as packaging/icon.png, from which electron-builder makes what each
 * system wants. To be run, and its picture kept, when the drawing is another.
 */
const SIZE_PX = 1024;

const svg = readFileSync(new URL('../renderer/public/icon.svg', import.meta.url), 'utf8');
const executablePath = await findTestBrowser();
if (executablePath === null) throw new Error('There is no browser that could draw; set CHROME_PATH.');
const browser = await chromium.launch({ executablePath, args: [...sandboxArguments()] });
try {
  const page = await browser.newPage({ viewport: { width: SIZE_PX, height: SIZE_PX } });
  await page.setContent(
    `<style>body { margin: 0 } svg { display: block; width: ${SIZE_PX}px }</style>${svg}`,
  );
  const png = await page.screenshot({ omitBackground: true });
  writeFileSync(new URL('../packaging/icon.png', import.meta.url), png);
} finally {
  await browser.close();
}
