import { existsSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { axeComplaints } from '../helpers/axe-complaints.ts';
import { openBrowser, openPage } from '../helpers/browser-page.ts';
import { type RunningProgram, startProgram } from '../helpers/running-program.ts';
import { makeDataFolder } from '../helpers/running-services.ts';
import type { PackageBench } from '../integration/package-support/package-bench.ts';
import { smallBench } from '../integration/package-support/package-parts.ts';

let browser: Browser;
let program: RunningProgram;
let maker: PackageBench;
let folder = '';
let removeFolder = (): void => undefined;

beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(async () => {
  await browser.close();
});
beforeEach(async () => {
  const { path, remove } = makeDataFolder();
  folder = path;
  removeFolder = remove;
  maker = await smallBench();
  program = await startProgram(path);
});
afterEach(async () => {
  await program.end();
  maker.remove();
  removeFolder();
});

/** What lies with the program of files that were handed over. */
function handedOver(): string[] {
  const incoming = join(folder, 'incoming');
  return existsSync(incoming) ? readdirSync(incoming) : [];
}

describe('a data package of another bench in Share', () => {
  it('is shown in words before it is taken in, and leads to its trials, which say where they come from', async () => {
    const file = await maker.write('small.zip');
    const { page, complaints } = await openPage(browser, program.url);
    await page.getByRole('link', { name: 'Setup', exact: true }).click();
    await page.getByRole('link', { name: 'Take in data of another bench' }).click();
    await page.getByText('Nothing yet.').waitFor();

    writeFileSync(join(maker.folder, 'broken.zip'), 'PK and then nothing');
    await page.locator('input[type=file]').setInputFiles(join(maker.folder, 'broken.zip'));
    await page.getByRole('alert').getByText('no ZIP that can be read').waitFor();
    await expect.poll(handedOver).toHaveLength(1);

    await page.getByLabel('Or its path on the computer that the program runs on').fill(file);
    await page.getByRole('button', { name: 'Look at it' }).click();
    const preview = page.getByRole('region', { name: `What ${file} holds` });
    await preview.getByText('2 new', { exact: true }).waitFor();
    await preview.getByText('marked as coming from Bench A').waitFor();
    await expect.poll(handedOver).toEqual([]);
    expect(await axeComplaints(page)).toEqual([]);
    await page.getByRole('button', { name: 'Leave everything as it is' }).click();
    await preview.waitFor({ state: 'detached' });
    await page.getByText('Nothing yet.').waitFor();

    await page.locator('input[type=file]').setInputFiles(file);
    await page.getByRole('button', { name: 'Take it in' }).click();
    // The button goes while the package is taken in; the keyboard goes on from the heading.
    const heading = page.getByRole('heading', { name: 'Data package of another bench' });
    await expect.poll(() => heading.evaluate((element) => element === document.activeElement)).toBe(true);
    await page.getByText('2 trials taken in.').first().waitFor();
    await expect.poll(handedOver).toEqual([]);
    const taken = page.getByRole('table', { name: 'Taken in so far' });
    expect(await taken.getByRole('row').nth(1).innerText()).toMatch(/small\.zip[\s\S]*Bench A\s+2/);
    expect(await axeComplaints(page)).toEqual([]);

    await page.getByRole('link', { name: 'Open the Logbook' }).click();
    await page.getByText('from Bench A').first().waitFor();
    await page.getByRole('row').nth(1).click();
    await page.locator('.trial-mark').getByText('from Bench A').waitFor();
    expect(complaints).toEqual([]);
    await page.close();
  });
});
