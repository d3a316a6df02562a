import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { pathToFileURL } from 'node:url';
import type { Page } from 'playwright-core';
import { inProject } from '../project-root.mjs';

export const folder = inProject('docs', 'screenshots');
const sizes = [
  { width: 1440, height: 900 },
  { width: 1920, height: 1080 },
];
const schemes = ['light', 'dark'] as const;

/** One screen in both sizes, light and dark. */
export async function photograph(page: Page, name: string): Promise<void> {
  const session = await page.context().newCDPSession(page);
  for (const size of sizes) {
    await page.setViewportSize(size);
    for (const colorScheme of schemes) {
      await page.emulateMedia({ colorScheme });
      // Two frames, so that canvases are drawn in the new size and colours.
      await page.evaluate(
        () =>
          new Promise((resolve) => {
            requestAnimationFrame(() => requestAnimationFrame(resolve));
          }),
      );
      await wait(150);
      // WebP keeps them a third as large as the formats that the page object offers.
      const { data } = await session.send('Page.captureScreenshot', { format: 'webp', quality: 50 });
      writeFileSync(join(folder, `${name}-${size.width}-${colorScheme}.webp`), Buffer.from(data, 'base64'));
    }
  }
  await session.detach();
  console.log(name);
}

export async function openPlace(page: Page, place: string): Promise<void> {
  await page.getByRole('link', { name: place, exact: true }).first().click();
  await wait(600);
}

export async function fill(page: Page, label: string, value: string): Promise<void> {
  await page.getByRole('textbox', { name: label, exact: true }).fill(value);
  await page.keyboard.press('Tab');
}

const PAPER = { width: 794, height: 1123 };

/** A screen as it prints on A4, page by page, as the browser's own reader shows them. */
export async function photographPaper(page: Page, name: string, mostPages: number): Promise<void> {
  const scratch = mkdtempSync(join(tmpdir(), 'proofarm-paper-'));
  const file = join(scratch, 'paper.pdf');
  const reader = await page.context().newPage();
  try {
    await page.pdf({ path: file, format: 'A4', preferCSSPageSize: true });
    const session = await reader.context().newCDPSession(reader);
    await reader.setViewportSize(PAPER);
    for (let number = 1; number <= Math.min(mostPages, countPages(file)); number += 1) {
      // The reader takes the page from the address only when it opens the file.
      await reader.goto('about:blank');
      await reader.goto(`${pathToFileURL(file).href}#toolbar=0&navpanes=0&view=Fit&page=${number}`);
      await wait(1500);
      const { data } = await session.send('Page.captureScreenshot', { format: 'webp', quality: 50 });
      writeFileSync(join(folder, `${name}-page-${number}.webp`), Buffer.from(data, 'base64'));
    }
  } finally {
    await reader.close();
    rmSync(scratch, { recursive: true, force: true });
  }
  console.log(name);
}

/** Each page of a file is an object of that type; the tree above them is another one. */
function countPages(file: string): number {
  return readFileSync(file, 'latin1').match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0;
}
