import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
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

/** A4 at 96 pixels an inch. */
const PAPER = { width: 794, height: 1123 };

/** A screen as it is laid out for A4, cut at the height of a page; where a printer breaks pages is not shown. */
export async function photographPaper(page: Page, name: string, mostPages: number): Promise<void> {
  const session = await page.context().newCDPSession(page);
  await page.emulateMedia({ media: 'print', colorScheme: 'light' });
  await page.setViewportSize(PAPER);
  await wait(600);
  const height = await page.evaluate(() => document.documentElement.scrollHeight);
  const pages = Math.min(mostPages, Math.ceil(height / PAPER.height));
  for (let number = 1; number <= pages; number += 1) {
    const { data } = await session.send('Page.captureScreenshot', {
      format: 'webp',
      quality: 50,
      captureBeyondViewport: true,
      clip: { x: 0, y: (number - 1) * PAPER.height, ...PAPER, scale: 1 },
    });
    writeFileSync(join(folder, `${name}-page-${number}.webp`), Buffer.from(data, 'base64'));
  }
  await session.detach();
  await page.emulateMedia({ media: 'screen' });
  console.log(`${name}, ${pages} pages`);
}
