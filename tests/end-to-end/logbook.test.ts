import { setTimeout as wait } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import type { Connection } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { Direction } from '../../shared-lib/trial/step-model.ts';
import type { WebSocketConnection } from '../../renderer/api-client/websocket-connection.ts';
import { connectToProgram } from '../helpers/connect-to-program.ts';
import { useProgramInBrowser } from '../helpers/program-in-browser.ts';
import { openPage } from '../helpers/browser-page.ts';

const running = useProgramInBrowser();
let connection: WebSocketConnection;
/** Newest last. */
const trialIds: string[] = [];

/** A short pull on the simulated bench, kept whatever its quality. */
async function pull(toolName: string, direction: Direction): Promise<string> {
  const step = { toolName, kind: 'tighten', direction, plannedS: 0.5 } as const;
  await connection.request('updateSettings', { step });
  await untilTaken(() => connection.request('armTrial', {}));
  for (;;) {
    const { trial } = await connection.request('getStatus', {});
    if (trial.phase === 'reviewing') await connection.request('keepTrial', { trialId: trial.trialId });
    if (trial.phase === 'kept' && !trialIds.includes(trial.trialId)) return trial.trialId;
    if (trial.phase === 'interrupted') throw new Error(trial.sentence);
    await wait(100);
  }
}

/** The bench is not ready at once after its start, nor at rest right after a pull. */
async function untilTaken(request: () => Promise<unknown>): Promise<void> {
  for (let attempt = 1; ; attempt += 1) {
    try {
      await request();
      return;
    } catch (refusal) {
      if (!(refusal instanceof AppError) || attempt === 100) throw refusal;
      await wait(200);
    }
  }
}

async function saveDemoSetup(link: Connection): Promise<void> {
  const tool = {
    id: 'tool-1',
    name: 'Brindlow B4 (demo)',
    supply: 'battery',
    declaredVibrationMps2: 12.5,
    declaredNoiseDbA: null,
    isArchived: false,
  } as const;
  const setup = { id: 'setup-1', toolId: tool.id, packId: null, setting: 'mode 3', socket: null };
  await link.request('saveTool', { tool });
  await link.request('saveSetup', { setup: { ...setup, isArchived: false } });
}

async function openLogbook(path = '/logbook'): Promise<{ page: Page; complaints: string[] }> {
  const url = new URL(running.program.url);
  url.pathname = path.split('?')[0] ?? '';
  url.search = path.split('?')[1] ?? '';
  const opened = await openPage(running.browser, url.href);
  await opened.page.context().grantPermissions(['clipboard-read', 'clipboard-write']);
  return opened;
}

const rowsOf = (page: Page) => page.getByRole('row').filter({ hasText: '(demo)' });
/** A busy machine takes its time. */
const patience = { timeout: 20_000 };
const expectRows = (page: Page, count: number) =>
  expect.poll(() => rowsOf(page).count(), patience).toBe(count);
const clipboard = (page: Page) => page.evaluate(() => navigator.clipboard.readText());
const choose = async (page: Page, label: string, option: string) => {
  await page.getByRole('button', { name: new RegExp(`${label}$`) }).click();
  await page.getByRole('option', { name: option, exact: true }).click();
};

beforeAll(async () => {
  connection = connectToProgram(running.program.url);
  await connection.request('updateSettings', { operator: 'Demo operator' });
  await connection.request('connectSimulatedBench', {});
  await saveDemoSetup(connection);
  trialIds.push(await pull('Hollin H5 (demo)', 'forward'));
  trialIds.push(await pull('Tarnwick T6 (demo)', 'forward'));
  trialIds.push(await pull('Hollin H5 (demo)', 'reverse'));
});
afterAll(() => connection.close());

describe('the Logbook', () => {
  it('finds trials by filters that stand in the address, and takes one out of the list by keys alone', async () => {
    const { page, complaints } = await openLogbook();
    await expectRows(page, 3);
    await page.getByRole('textbox', { name: 'Search' }).fill('hollin');
    await expectRows(page, 2);
    await choose(page, 'Direction', 'Reverse');
    await expectRows(page, 1);
    expect(new URL(page.url()).search).toBe('?search=hollin&direction=reverse');
    await page.goBack();
    await expectRows(page, 2);
    await page.reload();
    await expectRows(page, 2);
    await page.getByRole('button', { name: 'Remove the filter “hollin”' }).click();
    await expectRows(page, 3);

    await page.getByRole('button', { name: /^Sustained/ }).click();
    await page
      .getByRole('columnheader', { name: /^Sustained/ })
      .and(page.locator('[aria-sort=descending]'))
      .waitFor();
    await page.getByRole('button', { name: 'When' }).click();
    // The rows of the other order stand until those of this one have come.
    await expect
      .poll(
        async () =>
          (await rowsOf(page).allInnerTexts()).map((text) => /reverse|Tarnwick|forward/.exec(text)?.[0]),
        patience,
      )
      .toEqual(['reverse', 'Tarnwick', 'forward']);
    await page.getByRole('grid').focus();
    for (const key of ['End', 'ArrowUp', 'Space', 'Control+c']) await page.keyboard.press(key);
    await page.getByText('Copied: 1 row with its header.').waitFor();
    const [header, ...copied] = (await clipboard(page)).split('\r\n').map((line) => line.split('\t'));
    expect(copied.map((cells) => cells[header?.indexOf('Tool') ?? -1])).toEqual(['Tarnwick T6 (demo)']);
    expect(copied.map((cells) => cells.at(-1))).toEqual([trialIds[1]]);

    await page.keyboard.press('Enter');
    await page.waitForURL(`**/logbook/${trialIds[1]}`);
    await page.goBack();
    await expectRows(page, 3);
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('keeps a note, a tag and a tool that was put right, with all of it in the trail and found again', async () => {
    const { page, complaints } = await openLogbook(`/logbook/${trialIds[0]}`);
    await page.getByRole('textbox', { name: 'Note' }).fill('Anvil changed before this one');
    await page.getByRole('textbox', { name: 'Add a tag' }).fill('new anvil');
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: 'Store note and tags' }).click();
    await page.getByText('Note: “Anvil changed before this one” Tags: new anvil.').waitFor();
    // A tag that comes from another window while the note is typed stays.
    await page.getByRole('textbox', { name: 'Note' }).fill('Anvil changed, socket too');
    const trialId = trialIds[0] ?? '';
    const note = 'Anvil changed before this one';
    await connection.request('annotateTrial', { trialId, note, tags: ['new anvil', 'wet'] });
    await page.getByRole('button', { name: 'Take out the tag wet' }).waitFor();
    await page.getByRole('button', { name: 'Store note and tags' }).click();
    await page.getByText('Note: “Anvil changed, socket too”').waitFor();
    const { annotations } = await connection.request('getTrial', { trialId });
    expect(annotations.at(-1)?.tags).toEqual(['new anvil', 'wet']);

    // A note that comes from another window while it is typed over is asked about, and taken or not as a person says.
    const theirs = { trialId, note: 'Anvil changed twice', tags: ['new anvil', 'dry'] };
    const typed = 'Anvil changed, socket and bit too';
    await page.getByRole('textbox', { name: 'Note' }).fill(typed);
    await connection.request('annotateTrial', theirs);
    await page.getByText('Another window has stored the note “Anvil changed twice”').waitFor();
    const store = page.getByRole('button', { name: 'Store note and tags' });
    expect(await store.isDisabled()).toBe(true);
    // What was in sight before it was touched is no matter.
    await page.getByRole('button', { name: 'Take out the tag dry' }).click();
    expect(await page.getByText('and the tags').count()).toBe(0);
    await page.getByRole('button', { name: 'Keep mine' }).click();
    await store.click();
    await page.getByText(`Note: “${typed}” Tags: new anvil.`).waitFor();
    await page.getByRole('textbox', { name: 'Note' }).fill('Nothing of the kind');
    await connection.request('annotateTrial', {
      ...theirs,
      note: 'Anvil changed, socket too',
      tags: ['wet'],
    });
    await page.getByRole('button', { name: 'Take what was stored' }).click();
    await expect
      .poll(() => page.getByRole('textbox', { name: 'Note' }).inputValue())
      .toBe('Anvil changed, socket too');

    await page.getByRole('button', { name: 'Put the tool or setup right' }).click();
    await choose(page, 'Setup', 'Brindlow B4 (demo), mode 3');
    await page.getByRole('textbox', { name: 'Why it is put right' }).fill('Tools were mixed up');
    await page.getByRole('button', { name: 'Name it so from now on' }).click();
    await page.getByRole('heading', { name: 'Brindlow B4 (demo), forward' }).waitFor();
    await page.getByText('Put right to “Brindlow B4 (demo), mode 3”: Tools were mixed up.').waitFor();

    await page.getByRole('link', { name: 'Back to the list' }).click();
    await page.getByRole('textbox', { name: 'Search' }).fill('anvil mode');
    await expectRows(page, 1);
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('reads a curve out, copies a figure, and shows a what-if that stores nothing', async () => {
    const trialId = trialIds[0] ?? '';
    const { page, complaints } = await openLogbook(`/logbook/${trialId}`);
    const before = await connection.request('getTrial', { trialId });
    const cursor = page.getByRole('slider', { name: /^Cursor on the curve/ });
    await page.locator('.trial-chart canvas').waitFor();
    await cursor.focus();
    await page.keyboard.press('ArrowRight');
    await expect
      .poll(() => cursor.getAttribute('aria-valuetext'))
      .toMatch(/measuring curve .*N·m, raw .*N·m$/);
    await page.keyboard.press('Shift+PageDown');
    await page.getByText('Raw samples of the selection').waitFor();
    await page.getByRole('button', { name: 'Let it go' }).click();
    await page.getByText('Raw samples in sight').waitFor();

    const seenUntilS = async () => Number(await cursor.getAttribute('aria-valuemax'));
    const wholeUntilS = await seenUntilS();
    const box = (await cursor.boundingBox()) ?? { x: 0, y: 0, width: 0, height: 0 };
    await page.mouse.move(box.x + box.width * 0.3, box.y + box.height / 2);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width * 0.5, box.y + box.height / 2, { steps: 5 });
    await page.mouse.up();
    await expect.poll(seenUntilS).toBeLessThan(wholeUntilS * 0.7);
    await page.getByRole('button', { name: 'Whole trial' }).click();
    await expect.poll(seenUntilS).toBe(wholeUntilS);

    await page.getByRole('button', { name: 'Copy Onset level' }).click();
    await page.getByText('Copied: Onset level.').waitFor();
    expect(await clipboard(page)).toMatch(/^\d+(\.\d+)? N·m$/);

    await page.getByRole('textbox', { name: 'Onset level' }).fill('40');
    await page.getByRole('button', { name: 'Show what would be' }).click();
    await page.getByText('What if: nothing is stored.').waitFor();
    await page
      .getByRole('row', { name: /^Onset level/ })
      .getByText('40', { exact: false })
      .waitFor();
    expect(await connection.request('getTrial', { trialId })).toEqual(before);
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('voids a trial with its reason, and sums the session up with it', async () => {
    const { page, complaints } = await openLogbook(`/logbook/${trialIds[1]}`);
    await page.getByRole('button', { name: 'Void this trial' }).click();
    await page.getByText('Rig moved or came loose').click();
    await page.getByRole('dialog').getByRole('button', { name: 'Void this trial' }).click();
    await page.getByText(/Voided, .*: Rig moved or came loose/).waitFor();

    await page.getByRole('link', { name: 'Its summary' }).click();
    await page.getByText('3 trials: 2 kept, 1 voided').waitFor();
    await page.getByRole('row').filter({ hasText: 'Rig moved or came loose' }).waitFor();
    await page.getByRole('textbox', { name: 'Rig note' }).fill('New bushing');
    await page.keyboard.press('Tab');
    await expect
      .poll(async () => {
        const { session } = await connection.request('getStatus', {});
        const { conditions } = await connection.request('getSessionReport', { sessionId: session?.id ?? '' });
        return conditions.rigNote;
      }, patience)
      .toBe('New bushing');
    await page.getByRole('link', { name: 'Its trials' }).click();
    await expectRows(page, 3);
    await page.getByRole('button', { name: /^Remove the filter Session of/ }).waitFor();
    expect(complaints).toEqual([]);
    await page.close();
  });
});
