import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import type { Plan, PlanStep } from '../../shared-lib/run-sheet/plan-model.ts';
import type { RunSheet } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import { countUserActions } from '../helpers/count-user-actions.ts';
import { type ProgramOnFakeClock, startProgramOnFakeClock } from '../helpers/program-on-a-fake-clock.ts';
import { openBrowser, openPage } from '../helpers/browser-page.ts';
import { makeDataFolder } from '../helpers/running-services.ts';

const tools = ['Hollin H5 (demo)', 'Tarnwick T6 (demo)', 'Brindlow B4 (demo)'] as const;
const ROUNDS = 3;
const REST_S = 30;

/** In mid-pull the time stands still until the test has looked. */
let isPullHeld = false;

/** Where a person would wait: rests go by in half a second, and of a pull enough is left to be seen. */
function paceOf({ runSheet, trial }: BenchStatus): number {
  if (isPullHeld && trial.phase === 'run') return 0;
  const isWaiting = trial.phase === 'kept' || trial.phase === 'idle';
  return isWaiting && (runSheet?.restLeftS ?? 0) > 0 ? 60 : 10;
}

const tighten = (direction: PlanStep['direction'], plannedS: number): PlanStep => ({
  kind: 'tighten',
  direction,
  plannedS,
  preloadNm: null,
  repeats: 1,
  restS: REST_S,
});

/** Only what is counted: conditioning and reference pulls come on top of J4. */
const plan: Plan = {
  id: 'short-set',
  name: 'Short set, counted pulls only',
  steps: [tighten('forward', 2), tighten('reverse', 3), tighten('reverse', 5)],
  conditioningPulls: 0,
  rounds: ROUNDS,
  roundsToPublish: 5,
  reference: null,
  asks: ['packVolts', 'fastener'],
};

async function makeSheet(
  { handlers }: ProgramOnFakeClock,
  toolNames: readonly string[] = tools,
): Promise<RunSheet> {
  for (const [index, name] of toolNames.entries()) {
    const [toolId, packId] = [`tool-${index}`, `pack-${index}`];
    await handlers.saveTool({
      tool: {
        id: toolId,
        name,
        supply: 'battery',
        declaredVibrationMps2: null,
        declaredNoiseDbA: null,
        isArchived: false,
      },
    });
    await handlers.savePack({
      pack: { id: packId, name: `pack ${index + 1}`, nominalV: 18, capacityAh: 5, isArchived: false },
    });
    await handlers.saveSetup({
      setup: { id: `setup-${index}`, toolId, packId, setting: '', socket: null, isArchived: false },
    });
  }
  return handlers.makeRunSheet({
    draft: {
      name: 'Day at the bench',
      plan,
      setupIds: toolNames.map((_, index) => `setup-${index}`),
      referenceSetupId: null,
      order: 'rounds',
      seed: 5,
    },
  });
}

/** What the primary control stands ready for; "Start without the rest" is another button. */
const readyPrimary = (page: Page) =>
  page.getByRole('button', { name: /^(Take up .+|Start|End the day) Space$/ });

/** Half a second after a run the control is inert, so that a press meant to stop it does not go on. */
async function pressPrimary(page: Page): Promise<string> {
  const primary = readyPrimary(page);
  await primary.waitFor();
  await page.waitForTimeout(550);
  const label = (await primary.textContent()) ?? '';
  await page.keyboard.press('Space');
  return label.replace(/Space$/, '');
}

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
  await program.handlers.connectSimulatedBench({});
});
afterEach(async () => {
  isPullHeld = false;
  await program.close();
  removeFolder();
});

describe('a day at the bench', () => {
  it(
    'takes 38 presses and no typing: one to start, nine to take tools up, 27 to pull, one to end',
    { timeout: 300_000 },
    async () => {
      const sheet = await makeSheet(program);
      const { page, complaints } = await openPage(browser, program.url);
      await page.getByRole('link', { name: 'Run sheets' }).click();
      const open = page.getByRole('button', { name: 'Put Day at the bench on the bench' });
      await open.waitFor();
      const actions = await countUserActions(page);
      const typed = await page.evaluateHandle(() => {
        const counted = { inputs: 0 };
        addEventListener('input', () => (counted.inputs += 1), { capture: true });
        return counted;
      });

      await open.click();
      const pressed: string[] = [];
      let doneCount = 0;
      for (;;) {
        const label = await pressPrimary(page);
        pressed.push(label);
        if (label === 'End the day') break;
        if (label === 'Start') {
          doneCount += 1;
          await page.getByText(`${doneCount} of 27 counted pulls done · `).waitFor({ timeout: 60_000 });
        } else {
          await page.getByText(label, { exact: true }).waitFor({ state: 'detached' });
        }
      }

      await page.waitForURL(/\/logbook\/sessions\/[^/]+$/);
      expect(pressed.filter((label) => label.startsWith('Take up '))).toHaveLength(tools.length * ROUNDS);
      expect(pressed.filter((label) => label === 'Start')).toHaveLength(27);
      expect(await actions.total()).toBe(38);
      expect(await typed.evaluate(({ inputs }) => inputs)).toBe(0);
      expect(complaints).toEqual([]);

      const closed = await program.handlers.getRunSheet({ runSheetId: sheet.id });
      expect(closed.closedAt).not.toBeNull();
      expect(closed.entries.map(({ state }) => state)).toEqual(Array.from({ length: 27 }, () => 'done'));
      const { trials, total } = await program.handlers.listTrials({
        search: '',
        state: 'kept',
        offset: 0,
        limit: 100,
      });
      expect(total).toBe(27);
      for (const { id } of trials) {
        const { conditions, summary } = await program.handlers.getTrial({ trialId: id });
        expect(summary.qualityVerdict).toBe('good');
        expect(conditions.place?.runSheetId).toBe(sheet.id);
        if (conditions.restedS !== null) expect(conditions.restedS).toBeGreaterThanOrEqual(REST_S - 0.1);
      }
    },
  );

  it('shows a second window what is tried and, once it is kept, the same figure, without a control', async () => {
    isPullHeld = true;
    const sheet = await makeSheet(program, [tools[0]]);
    await program.handlers.openRunSheet({ runSheetId: sheet.id });
    const { page, complaints } = await openPage(browser, program.url);
    await readyPrimary(page).waitFor();
    const [audience] = await Promise.all([
      page.context().waitForEvent('page'),
      page.getByRole('link', { name: /^Audience view/ }).click(),
    ]);
    const what = 'Hollin H5 (demo), pack 1, forward, run 1 of 3';
    await audience.getByRole('heading', { name: what }).waitFor();
    await page.bringToFront();
    expect(await pressPrimary(page)).toBe('Take up Hollin H5 (demo), pack 1');
    await page.getByRole('button', { name: /^Start Space$/ }).waitFor();
    expect(await pressPrimary(page)).toBe('Start');
    await audience.getByText('Pulling', { exact: true }).waitFor();
    await audience.getByText('torque now').waitFor();
    expect(await audience.getByText('sustained torque').count()).toBe(0);
    isPullHeld = false;
    await audience.getByText('Kept', { exact: true }).waitFor({ timeout: 30_000 });
    const figureOf = (window: Page) => window.locator('.big-figure-digits').textContent();
    await page.getByText('sustained torque, forward').waitFor();
    expect(await figureOf(audience)).toBe(await figureOf(page));
    expect(Number(await figureOf(audience))).toBeGreaterThan(100);
    expect(await audience.getByRole('button').or(audience.getByRole('link')).count()).toBe(0);
    expect(complaints).toEqual([]);
  });

  it('is put in another order, cut short and left by the keyboard alone, and gone on with', async () => {
    const sheet = await makeSheet(program, tools.slice(0, 2));
    await program.handlers.openRunSheet({ runSheetId: sheet.id });
    const { page, complaints } = await openPage(browser, program.url);
    const [first] = sheet.entries;
    const other = sheet.entries.find(({ setup }) => setup.setupId !== first?.setup.setupId);
    if (first === undefined || other === undefined) throw new Error('The sheet has fewer than two setups');
    const takeUp = ({ setup }: typeof first) =>
      page.getByRole('button', { name: `Take up ${setup.toolName}, ${setup.packName} Space` });
    const openList = async (): Promise<void> => {
      await tabTo(page, (name) => name === 'What is left');
      await page.keyboard.press('Enter');
      await page.getByRole('dialog', { name: 'What is left' }).waitFor();
    };
    await takeUp(first).waitFor();

    await openList();
    await page.getByRole('listitem').first().getByText(first.setup.toolName).waitFor();
    await tabTo(page, (name) => name.startsWith(`Do ${other.setup.toolName}`));
    await page.keyboard.press('Enter');
    await page.getByRole('listitem').first().getByText(other.setup.toolName).waitFor();
    await page.keyboard.press('Escape');
    await takeUp(other).waitFor();

    await openList();
    await tabTo(page, (name) => name === 'Skip the next one');
    await page.keyboard.press('Enter');
    await page.getByRole('dialog', { name: 'Skip this pull' }).waitFor();
    await tabTo(page, (name) => name === 'The tool failed');
    await page.keyboard.press('Space');
    await tabTo(page, (name) => name === 'Skip it');
    await page.keyboard.press('Enter');
    await page.getByText('0 of 18 counted pulls done, 1 skipped').waitFor();
    const skipped = await program.handlers.getRunSheet({ runSheetId: sheet.id });
    expect(skipped.entries.find(({ id }) => id === other.id)).toMatchObject({
      state: 'skipped',
      skipReason: 'The tool failed',
    });

    await openList();
    await tabTo(page, (name) => name === 'Take the sheet off the bench');
    await page.keyboard.press('Enter');
    await page.getByText('is off the bench').waitFor();
    await tabTo(page, (name) => name === 'Put it back');
    await page.keyboard.press('Enter');
    await page.getByText('0 of 18 counted pulls done, 1 skipped').waitFor();
    const { total } = await program.handlers.listTrials({ search: '', state: null, offset: 0, limit: 10 });
    expect(total).toBe(0);
    expect(complaints).toEqual([]);
  });
});

/** Tab until the control of that name has the focus, as a person does who has no hand for the mouse. */
async function tabTo(page: Page, isMeant: (name: string) => boolean): Promise<void> {
  for (let presses = 0; presses < 80; presses += 1) {
    await page.keyboard.press('Tab');
    const name = await page.evaluate(() => {
      const element = document.activeElement;
      // A radio button is an input in its label.
      return (
        element?.getAttribute('aria-label') ??
        element?.closest('label')?.textContent ??
        element?.textContent ??
        ''
      );
    });
    if (isMeant(name)) return;
  }
  throw new Error('No tab leads there');
}
