import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { unzipSync } from 'fflate';
import type { Browser, Download, Locator, Page } from 'playwright-core';
import { PNG } from 'pngjs';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { axeComplaints } from '../helpers/axe-complaints.ts';
import { countUserActions } from '../helpers/count-user-actions.ts';
import { type ProgramOnFakeClock, startProgramOnFakeClock } from '../helpers/program-on-a-fake-clock.ts';
import { openBrowser, openPage } from '../helpers/browser-page.ts';
import { makeDataFolder } from '../helpers/running-services.ts';

/** While a person would only wait, time goes by faster. */
function paceOf({ trial }: BenchStatus): number {
  return trial.phase === 'idle' || trial.phase === 'reviewing' || trial.phase === 'kept' ? 2 : 10;
}

let browser: Browser;
let program: ProgramOnFakeClock;
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
  program = await startProgramOnFakeClock(path, paceOf);
});
afterEach(async () => {
  await program.close();
  removeFolder();
});

/** A trial of two seconds over the services. */
async function pull(toolName: string): Promise<void> {
  const step = { toolName, kind: 'tighten', direction: 'forward', plannedS: 2 } as const;
  const keptCount = async () => (await program.handlers.getStatus({})).session?.keptCount ?? 0;
  const before = await keptCount();
  await program.handlers.updateSettings({ step });
  await expect
    .poll(
      async () => {
        const { trial, obstacles } = await program.handlers.getStatus({});
        if (trial.phase === 'reviewing') await program.handlers.keepTrial({ trialId: trial.trialId });
        if ((await keptCount()) > before) return 'pulled';
        const isFree = trial.phase === 'idle' || trial.phase === 'kept';
        if (isFree && obstacles.length === 0) await program.handlers.armTrial({});
        return trial.phase;
      },
      { timeout: 60_000, interval: 100 },
    )
    .toBe('pulled');
}

async function pullTwoTools(): Promise<void> {
  await program.handlers.connectSimulatedBench({});
  for (const tool of ['Hollin H5 (demo)', 'Tarnwick T6 (demo)', 'Tarnwick T6 (demo)', 'Hollin H5 (demo)']) {
    await pull(tool);
  }
}

async function bytesOf(download: Download): Promise<Buffer> {
  return readFileSync(await download.path());
}

const button = (page: Page, name: string) => page.getByRole('button', { name, exact: true });
const view = (page: Page, name: string) =>
  page.getByRole('navigation', { name: 'What is made' }).getByRole('link', { name, exact: true });

async function expectFocus(locator: Locator): Promise<void> {
  await expect.poll(() => locator.evaluate((element) => element === document.activeElement)).toBe(true);
}

async function press(page: Page, name: string): Promise<Download> {
  const [download] = await Promise.all([page.waitForEvent('download'), button(page, name).click()]);
  return download;
}

describe('a comparison', () => {
  it(
    'is published as a picture and as the data behind it in four actions',
    { timeout: 240_000 },
    async () => {
      await pullTwoTools();
      const { page, complaints } = await openPage(browser, program.url);
      await page.getByRole('link', { name: 'Compare', exact: true }).click();
      await page.locator('.verdict-sentence').waitFor();

      const actions = await countUserActions(page);
      await page.getByRole('link', { name: 'Share this comparison' }).click();
      await page.getByRole('img', { name: /Hollin H5 \(demo\)/ }).waitFor();
      const picture = await press(page, 'Save picture (PNG)');
      await view(page, 'Data').click();
      await button(page, 'Save data package').click();
      const row = page.getByRole('row').filter({ hasText: 'data-package' });
      await row.waitFor();
      // J7: at most four actions.
      expect(await actions.total()).toBeLessThanOrEqual(4);

      expect(picture.suggestedFilename()).toMatch(
        /^(tarnwick|hollin).+-against-(tarnwick|hollin).+-simulated-curves-wide-light-.+\.png$/,
      );
      const png = await bytesOf(picture);
      expect(png.subarray(0, 8)).toEqual(Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]));
      expect([png.readUInt32BE(16), png.readUInt32BE(20)]).toEqual([1920, 1080]);

      const { files } = await program.handlers.listPublished({});
      expect(files).toHaveLength(1);
      const made = readFileSync(files[0]?.path ?? '');
      const inside = Object.keys(unzipSync(made));
      expect(inside).toEqual(
        expect.arrayContaining(['datapackage.json', 'recompute.mjs', 'published/comparison.json']),
      );
      expect(inside.filter((name) => name.startsWith('data/counts/'))).toHaveLength(4);

      const saved = await press(page, `Save elsewhere ${files[0]?.fileName ?? ''}`);
      expect(await bytesOf(saved)).toEqual(made);
      expect(saved.suggestedFilename()).toBe(files[0]?.fileName);
      await expectFocus(button(page, `Save elsewhere ${files[0]?.fileName ?? ''}`));

      await button(page, `Remove ${files[0]?.fileName ?? ''}`).click();
      expect(await axeComplaints(page)).toEqual([]);
      await button(page, 'Keep it').click();
      await expectFocus(button(page, `Remove ${files[0]?.fileName ?? ''}`));
      expect(existsSync(files[0]?.path ?? '')).toBe(true);
      await button(page, `Remove ${files[0]?.fileName ?? ''}`).click();
      await button(page, 'Remove the file').click();
      await row.waitFor({ state: 'detached' });
      await expectFocus(page.getByRole('heading', { name: 'Made files' }));
      expect(existsSync(files[0]?.path ?? '')).toBe(false);
      expect(complaints).toEqual([]);
      await page.close();
    },
  );
});

describe('the place Share', () => {
  it(
    'says what will be there, then shows the newest by itself, in looks that the address keeps',
    { timeout: 240_000 },
    async () => {
      const { page, complaints } = await openPage(browser, program.url);
      await page.getByRole('link', { name: 'Share', exact: true }).click();
      await page.getByText('What you publish will be here').waitFor();
      expect(await axeComplaints(page)).toEqual([]);

      await pullTwoTools();
      // A trial that is kept is enough for it; asked for anew, it is the comparison.
      await page.getByRole('heading', { level: 2 }).filter({ hasText: '(demo)' }).waitFor();
      await page.keyboard.press('h');
      await page
        .getByRole('heading', { name: /^Tarnwick.+ against Hollin|^Hollin.+ against Tarnwick/ })
        .waitFor();
      await page.getByRole('img', { name: /Hollin H5 \(demo\)/ }).waitFor();

      const look = page.getByRole('region', { name: 'How it looks' });
      await look.getByText('Means', { exact: true }).click();
      await look.getByText('Dark', { exact: true }).click();
      await look.getByRole('button', { name: /^Wide/ }).click();
      await page.getByRole('option', { name: /^Square/ }).click();
      await expect.poll(() => new URL(page.url()).searchParams.get('format')).toBe('square');
      await page.reload();
      await page.getByRole('img', { name: /Hollin H5 \(demo\)/ }).waitFor();
      const svg = await press(page, 'Save picture (SVG)');
      expect(svg.suggestedFilename()).toContain('means-square-dark');
      const text = (await bytesOf(svg)).toString('utf8');
      expect(text).toMatch(/^<svg|^<\?xml/);
      expect(text).toContain('Hollin H5 (demo)');
      const cornerOpacity = async (png: Download): Promise<number | undefined> =>
        PNG.sync.read(await bytesOf(png)).data[3];
      expect(await cornerOpacity(await press(page, 'Save picture (PNG)'))).toBe(255);
      await look.getByText('None', { exact: true }).click();
      await expect.poll(() => new URL(page.url()).searchParams.get('ground')).toBe('none');
      const laidOver = await press(page, 'Save picture (PNG)');
      expect(laidOver.suggestedFilename()).toContain('means-square-dark-without-ground');
      expect(await cornerOpacity(laidOver)).toBe(0);

      for (const theme of ['light', 'dark'] as const) {
        await page.emulateMedia({ colorScheme: theme });
        for (const name of ['Chart', 'Report', 'Data']) {
          await view(page, name).click();
          await button(
            page,
            { Chart: 'Save picture (PNG)', Report: 'Save report (PDF)', Data: 'Save data package' }[name] ??
              '',
          ).waitFor();
          expect(await axeComplaints(page)).toEqual([]);
        }
      }
      expect(complaints).toEqual([]);
      await page.close();
    },
  );

  it(
    'shows what is chosen by the keyboard alone, and writes the report that it previews',
    { timeout: 240_000 },
    async () => {
      await program.handlers.connectSimulatedBench({});
      await pull('Hollin H5 (demo)');
      const { page, complaints } = await openPage(browser, program.url);
      await page.keyboard.press('h');
      await page.getByRole('heading', { name: 'Hollin H5 (demo)' }).waitFor();
      await button(page, 'Choose something else').focus();
      await page.keyboard.press('Enter');
      await page.getByRole('radio', { name: 'Session' }).waitFor({ state: 'attached' });
      // From the trial, one to the right is the session.
      await page.keyboard.press('Tab');
      await page.keyboard.press('ArrowRight');
      await page.getByRole('listbox', { name: 'Sessions, newest first' }).waitFor();
      expect(await axeComplaints(page)).toEqual([]);
      await page.keyboard.press('Tab');
      await page.keyboard.press('Enter');
      await page.getByRole('heading', { name: /^Session of/ }).waitFor();
      await page.goBack();
      await page.getByRole('heading', { name: 'Hollin H5 (demo)' }).waitFor();

      await view(page, 'Report').click();
      const report = page.getByRole('article');
      await report.waitFor();
      expect(await report.innerText()).toContain('Hollin H5 (demo)');
      await button(page, 'Save report (one HTML file)').click();
      const row = page.getByRole('row').filter({ hasText: '.html' });
      await row.waitFor();
      const { files } = await program.handlers.listPublished({});
      const html = readFileSync(join(folder, 'published', files[0]?.fileName ?? ''), 'utf8');
      expect(html).toContain('Hollin H5 (demo)');

      rmSync(join(folder, 'published'), { recursive: true });
      writeFileSync(join(folder, 'published'), 'in the way');
      await button(page, 'Save report (one HTML file)').click();
      const close = page.getByRole('button', { name: /^Close the message about/ });
      await close.focus();
      await page.keyboard.press('Enter');
      await close.waitFor({ state: 'detached' });
      await expectFocus(page.locator('.share-outcome'));
      expect(complaints).toEqual([]);
      await page.close();
    },
  );
});
