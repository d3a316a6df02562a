import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { axeComplaints } from '../helpers/axe-complaints.ts';
import { countUserActions } from '../helpers/count-user-actions.ts';
import { type ProgramOnFakeClock, startProgramOnFakeClock } from '../helpers/program-on-a-fake-clock.ts';
import { openBrowser, openPage } from '../helpers/browser-page.ts';
import { makeDataFolder } from '../helpers/running-services.ts';

/** While a person would only wait, time goes by faster; what they look at and press goes at its own pace. */
function paceOf({ trial }: BenchStatus): number {
  return trial.phase === 'idle' || trial.phase === 'reviewing' || trial.phase === 'kept' ? 2 : 10;
}

/** Of the fake clock, when the program starts. */
const STARTED = Date.UTC(2026, 0, 10, 8);

let browser: Browser;
let program: ProgramOnFakeClock;
let removeFolder = (): void => undefined;

beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(async () => {
  await browser.close();
});
beforeEach(async () => {
  const { path, remove } = makeDataFolder();
  removeFolder = remove;
  program = await startProgramOnFakeClock(path, paceOf);
});
afterEach(async () => {
  await program.close();
  removeFolder();
});

/** A quick trial by the primary control, kept whatever a busy machine made of its rate. */
async function pullByHand(page: Page, kept: number): Promise<void> {
  const start = page.getByRole('button', { name: /^(Start|Repeat)/ });
  await start.waitFor();
  // Half a second after a run the control is inert, so that a press meant to stop it does not go on.
  await page.waitForTimeout(600);
  await start.focus();
  await page.keyboard.press('Space');
  await expect
    .poll(
      async () => {
        const keep = page.getByRole('button', { name: /^Keep/ });
        if (await keep.isVisible()) await keep.click();
        return (await program.handlers.getStatus({})).session?.keptCount ?? 0;
      },
      { timeout: 60_000 },
    )
    .toBe(kept);
}

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

const sentence = (page: Page) => page.locator('.verdict-sentence');
const query = (page: Page) => new URL(page.url()).searchParams;

describe('a first comparison', () => {
  it(
    'comes within ten minutes of a first start without hardware, and is one action from the Bench',
    { timeout: 240_000 },
    async () => {
      const { page, complaints } = await openPage(browser, program.url);
      await page.getByRole('link', { name: 'Compare', exact: true }).click();
      await page.getByText('Who is ahead will be here').waitFor();
      expect(await axeComplaints(page)).toEqual([]);
      await page.getByRole('link', { name: 'Go to the Bench' }).click();

      await page.getByRole('button', { name: 'Try it on the simulated bench' }).click();
      await pullByHand(page, 1);
      await pullByHand(page, 2);
      await page.keyboard.press('v');
      await page.getByRole('heading', { name: /is alone so far$/ }).waitFor();
      await page.goBack();
      const tool = page.getByRole('textbox', { name: 'Tool', exact: true });
      await tool.fill('Tarnwick T6 (demo)');
      await tool.press('Tab');
      await expect
        .poll(async () => (await program.handlers.getSettings({})).step.toolName)
        .toBe('Tarnwick T6 (demo)');
      await pullByHand(page, 3);
      await pullByHand(page, 4);

      const actions = await countUserActions(page);
      await page.keyboard.press('v');
      await sentence(page).waitFor();
      // Is A ahead of B, and by how much: J5, at most three actions.
      expect(await actions.total()).toBeLessThanOrEqual(3);
      const words = await page.locator('.verdict-answer').innerText();
      expect(words).toMatch(/A ahead|B ahead|Level|Too close to call/);
      expect(words).toContain('Tarnwick T6 (demo)');
      expect(words).toMatch(/\d\u202f%.*\d\u202fN·m/s);

      const { contenders } = await program.handlers.listContenders({});
      const lastPull = Math.max(...contenders.map(({ lastTestedAt }) => Date.parse(lastTestedAt)));
      expect((lastPull - STARTED) / 60_000).toBeLessThan(9.5);
      expect(complaints).toEqual([]);
      await page.close();
    },
  );
});

describe('a comparison', () => {
  it(
    'keeps what is chosen in the address, answers questions by a click, and leads to every trial behind it',
    { timeout: 240_000 },
    async () => {
      await program.handlers.connectSimulatedBench({});
      for (const tool of ['Hollin H5 (demo)', 'Tarnwick T6 (demo)', 'Tarnwick T6 (demo)', 'Hollin H5 (demo)'])
        await pull(tool);
      const { page, complaints } = await openPage(browser, program.url);
      await page.getByRole('link', { name: 'Compare', exact: true }).click();
      await sentence(page).waitFor();
      expect(query(page).get('measure')).toBe('sustainedTorque');
      const newest = query(page).get('a');

      await page.getByRole('button', { name: /^Who is ahead at 1/ }).click();
      await page.getByRole('heading', { name: /^Who is ahead at 1/ }).waitFor();
      expect(query(page).get('measure')).toBe('torqueAt.1');
      await page.getByRole('button', { name: 'Swap A and B' }).click();
      await expect.poll(() => query(page).get('b')).toBe(newest);
      await page.reload();
      await page.getByRole('heading', { name: /^Who is ahead at 1/ }).waitFor();
      expect(query(page).get('b')).toBe(newest);
      await page.goBack();
      await expect.poll(() => query(page).get('a')).toBe(newest);
      await page.goBack();
      await page.getByRole('heading', { name: 'Who holds more torque?' }).waitFor();
      await page.goForward();
      await page.getByRole('heading', { name: /^Who is ahead at 1/ }).waitFor();

      // Every run has its curve: two of each, none left behind.
      await page.getByRole('img', { name: /2 runs of .+ \(solid\).+2 runs of .+ \(dashed\)/ }).waitFor();
      await page.getByRole('button', { name: 'Find out from the raw curves' }).click();
      await page.getByRole('list', { name: 'Who is first' }).waitFor();
      for (const theme of ['light', 'dark'] as const) {
        await page.emulateMedia({ colorScheme: theme });
        expect(await axeComplaints(page)).toEqual([]);
      }
      await page.keyboard.press('u');
      await page.getByText('Torque at 1\u202fs in ft·lbf').waitFor({ state: 'attached' });

      await page.getByText('Every run as figures, with its trial').click();
      const link = page.getByRole('row').filter({ hasText: 'A ' }).getByRole('link').first();
      await link.click();
      await page.getByText('Final torque', { exact: true }).first().waitFor();
      await page.goBack();
      await sentence(page).waitFor();
      expect(complaints).toEqual([]);
      await page.close();
    },
  );

  it(
    'takes another margin for the sessions to come, and leaves the one that the runs were pulled under',
    { timeout: 240_000 },
    async () => {
      await program.handlers.connectSimulatedBench({});
      for (const tool of ['Hollin H5 (demo)', 'Tarnwick T6 (demo)', 'Hollin H5 (demo)']) await pull(tool);
      const { page, complaints } = await openPage(browser, program.url);
      await page.getByRole('link', { name: 'Compare', exact: true }).click();
      await page.getByRole('button', { name: 'Margin ±5\u202f%: change' }).click();
      const field = page.getByRole('textbox', { name: 'Margin from the next session on' });
      await field.fill('200 %');
      await expect
        .poll(() => page.getByRole('button', { name: 'Use it from the next session on' }).isDisabled())
        .toBe(true);
      await field.fill('2,5');
      expect(await axeComplaints(page)).toEqual([]);
      await page.getByRole('button', { name: 'Use it from the next session on' }).click();
      await field.waitFor({ state: 'detached' });
      await page.getByRole('button', { name: 'Margin ±5\u202f%: change' }).click();
      await page.getByText(/Sessions that begin from now on take ±2\.5\u202f%/).waitFor();
      expect(complaints).toEqual([]);
      await page.close();
    },
  );
});
