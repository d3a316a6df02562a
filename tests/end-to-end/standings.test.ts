import { execFile } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Browser, Page } from 'playwright-core';
import type { Standings, StandingsTable } from '../../shared-lib/standings/standings-model.ts';
import type { WebSocketConnection } from '../../renderer/api-client/websocket-connection.ts';
import { connectToProgram } from '../helpers/connect-to-program.ts';
import { countUserActions } from '../helpers/count-user-actions.ts';
import { openBrowser, openPage } from '../helpers/browser-page.ts';
import { type RunningProgram, startProgram } from '../helpers/running-program.ts';
import { makeDataFolder } from '../helpers/running-services.ts';

const commandLine = fileURLToPath(new URL('../../scripts/proofarm.mjs', import.meta.url));
const axeSource = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
/** A busy machine takes its time. */
const patience = { timeout: 60_000 };

let program: RunningProgram;
let browser: Browser;
let connection: WebSocketConnection;
let removeFolder = (): void => undefined;
let tables: readonly StandingsTable[];

/** The invented workshop, so that there are tools, prices and pulls to be ranked. */
beforeAll(async () => {
  const { path, remove } = makeDataFolder();
  removeFolder = remove;
  await promisify(execFile)(process.execPath, [commandLine, 'demo', '--data', path]);
  program = await startProgram(path);
  browser = await openBrowser();
  connection = connectToProgram(program.url);
  ({ tables } = await connection.request('listStandingsTables', {}));
});
afterAll(async () => {
  connection.close();
  await browser.close();
  await program.end();
  removeFolder();
});

async function open(path: string): Promise<{ page: Page; complaints: string[] }> {
  const url = new URL(program.url);
  url.pathname = path;
  return openPage(browser, url.href);
}

/** What the accessibility rules find, by rule and element; nothing where all is well. */
async function accessibilityFaults(page: Page): Promise<string[]> {
  await page.evaluate(axeSource);
  return page.evaluate(async () => {
    const { axe } = window as unknown as {
      axe: { run(): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> };
    };
    const { violations } = await axe.run();
    return violations.flatMap(({ id, nodes }) => nodes.map(({ html }) => `${id}: ${html.slice(0, 120)}`));
  });
}

const tableOf = (): StandingsTable => {
  const [table] = tables;
  if (table === undefined) throw new Error('The demo workshop has no table');
  return table;
};
const standingsOf = (tableId: string): Promise<Standings> => connection.request('getStandings', { tableId });
const putAway = (table: StandingsTable, isArchived: boolean) =>
  connection.request('saveStandingsTable', { table: { ...table, isArchived } });
const rowsOf = (page: Page) => page.locator('.standings-table tbody tr');

describe('why is this tool in fourth place?', () => {
  it('is answered down to the raw curve in three actions from the Bench, with one table and with several', async () => {
    expect(tables.length).toBeGreaterThan(1);
    const [kept, ...others] = tables;
    const [, , , fourth] = (await standingsOf(kept!.id)).rows;
    expect(fourth?.place).toBe(4);
    for (const isOnly of [false, true]) {
      for (const table of others) await putAway(table, isOnly);
      const { page, complaints } = await open('/bench');
      await page.getByRole('link', { name: 'Standings' }).waitFor();
      const actions = await countUserActions(page);
      await page.getByRole('link', { name: 'Standings' }).click();
      if (isOnly) {
        await rowsOf(page).nth(3).locator('a').first().click();
      } else {
        const card = page.getByRole('table', { name: `First places of ${kept!.name}` });
        await card.getByRole('row').nth(4).getByRole('link').click();
      }
      await page.getByRole('heading', { name: `: ${fourth!.contender.label}` }).waitFor();
      await page.getByRole('heading', { name: 'Place 4 of' }).waitFor();
      await page
        .getByRole('table', { name: /^Trials behind the figure/ })
        .getByRole('link')
        .first()
        .click();
      await page.waitForURL('**/logbook/*');
      await page.locator('.trial-chart canvas').waitFor();
      await page.getByRole('heading', { level: 1, name: fourth!.contender.toolName }).waitFor();
      expect(await actions.total()).toBe(3);
      expect(complaints).toEqual([]);
      await page.close();
    }
    for (const table of others) await putAway(table, false);
  });
});

describe('a table', () => {
  it('shows places, points, totals and ranges as the services give them, and every reason for no place', async () => {
    const table = tableOf();
    const standings = await standingsOf(table.id);
    const { page, complaints } = await open(`/standings/${table.id}`);
    await expect.poll(() => rowsOf(page).count(), patience).toBe(standings.rows.length);
    const places = await page.locator('.standings-place > strong').allInnerTexts();
    expect(places.map(Number)).toEqual(standings.rows.map(({ place }) => place));
    const totals = await rowsOf(page).locator('td:last-child').allInnerTexts();
    expect(totals.map((total) => Number(total).toFixed(1))).toEqual(
      standings.rows.map(({ total }) => total.toFixed(1)),
    );
    for (const [index, { cells }] of standings.rows.entries()) {
      const shown = await rowsOf(page).nth(index).locator('.standings-points').allInnerTexts();
      expect(shown.map((points) => points.split(/\s/)[0])).toEqual(
        cells.map(({ points }) => points?.toFixed(1) ?? '–'),
      );
    }
    const ranges = await connection.request('getPlaceRanges', { tableId: table.id });
    const shownRanges = () => page.locator('.standings-range').allInnerTexts();
    await expect.poll(shownRanges, patience).toEqual(
      standings.rows.map(({ contender }) => {
        const range = ranges.ranges.find(({ key }) => key === contender.key);
        return range === undefined ? '(no range)' : `(${range.bestPlace} to ${range.worstPlace})`;
      }),
    );
    for (const { because } of standings.notRanked) {
      for (const reason of because) await page.getByText(reason).first().waitFor();
    }
    expect(await accessibilityFaults(page)).toEqual([]);
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('marks the cells that are other once a trial is voided, and an edition says why', async () => {
    const table = tableOf();
    const { page, complaints } = await open(`/standings/${table.id}/editions`);
    await page.getByRole('textbox', { name: 'Name of the edition' }).fill('Before the void (demo)');
    await page.getByRole('button', { name: 'Freeze this edition' }).click();
    await page.getByText('“Before the void (demo)” is frozen').waitFor();
    expect(await accessibilityFaults(page)).toEqual([]);

    const before = await standingsOf(table.id);
    const [first] = before.rows;
    const term = before.scheme.terms.find(({ measure }) => measure.of === 'trial');
    const cell = { tableId: table.id, editionId: null, key: first!.contender.key, termId: term!.id };
    const { trials } = await connection.request('getStandingsCell', cell);
    const voided = trials.find(({ leftOutBecause }) => leftOutBecause === null);
    await page.getByRole('link', { name: 'Back to the table' }).click();
    await rowsOf(page).first().waitFor();
    expect(await page.locator('.standings-cell-other').count()).toBe(0);
    await connection.request('voidTrial', { trialId: voided!.trialId, reason: 'Rig moved or came loose' });

    await page.getByText(/other than when you looked on/).waitFor();
    const marked = page
      .getByRole('row')
      .filter({ hasText: first!.contender.toolName })
      .locator('.standings-cell-other')
      .filter({ hasText: `${term!.label} of` });
    await marked.getByText(/^was /).waitFor();
    await page.getByRole('button', { name: 'I have seen these' }).click();
    await expect.poll(() => page.locator('.standings-cell-other').count(), patience).toBe(0);

    await page.getByRole('link', { name: 'Editions' }).click();
    await page.getByRole('link', { name: 'What changed since Before the void (demo)' }).click();
    const changes = page.getByRole('list', { name: 'What is other, tool by tool' });
    await changes
      .getByRole('listitem')
      .filter({ hasText: first!.contender.label })
      .getByText(/does not count any more: voided/)
      .first()
      .waitFor();
    await page.getByText(/these figures do not follow what happens since/).waitFor();
    await page.getByText(/Voided since: 1 trial/).waitFor();
    expect(await accessibilityFaults(page)).toEqual([]);

    // The figures of the edition stay as they were, down to the trials.
    await rowsOf(page).first().locator('a').first().click();
    await page.getByText('As it was frozen in the edition').waitFor();
    await page
      .getByText(`${trials.filter((trial) => trial.leftOutBecause === null).length} trials are behind it`)
      .waitFor();
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('is made in two steps where there is none', async () => {
    for (const table of tables) await putAway(table, true);
    const { page, complaints } = await open('/standings');
    await page.getByRole('heading', { name: 'No standings yet' }).waitFor();
    expect(await accessibilityFaults(page)).toEqual([]);
    await page.getByRole('link', { name: 'Make a table' }).click();
    await page.getByText('Ratchet', { exact: true }).click();
    expect(await accessibilityFaults(page)).toEqual([]);
    await page.getByRole('button', { name: 'Make this table' }).click();
    await page.getByRole('heading', { level: 1, name: 'Ratchets, simulated' }).waitFor();
    const made = (await connection.request('listStandingsTables', {})).tables;
    expect(made.map(({ toolClasses }) => toolClasses)).toEqual([['ratchet']]);

    await page.getByRole('link', { name: 'Change this table' }).click();
    await page.getByRole('button', { name: 'Put this table away' }).click();
    await page.getByText('is off the list').waitFor();
    expect((await connection.request('listStandingsTables', {})).tables).toEqual([]);
    for (const table of tables) await putAway(table, false);
    expect(complaints).toEqual([]);
    await page.close();
  });
});

describe('a scheme', () => {
  it('is changed with the order that it makes beside it, and saved as its next version', async () => {
    const table = tableOf();
    const before = await standingsOf(table.id);
    const term = before.scheme.terms.at(-1)!;
    const { page, complaints } = await open(`/standings/${table.id}`);
    await page.getByRole('link', { name: 'Its rules' }).click();
    await page.getByText('With these rules nothing moves').waitFor();
    expect(await accessibilityFaults(page)).toEqual([]);

    await page.getByRole('button', { name: `Change ${term.label}` }).click();
    const factor = page.getByRole('textbox', { name: 'Factor' });
    await factor.fill('much');
    await page.getByText('The order follows once every field of the terms can be read.').waitFor();
    expect(await page.getByRole('button', { name: /^Save as version/ }).isDisabled()).toBe(true);
    await factor.fill('100');
    await page.getByText(/^With these rules \d+ tools? /).waitFor();
    const draft = {
      ...before.scheme,
      terms: before.scheme.terms.map((one) => (one === term ? { ...one, factor: 100 } : one)),
    };
    const { name, terms, isNormalised, note } = draft;
    const preview = await connection.request('previewStandings', {
      tableId: table.id,
      schemeId: before.scheme.schemeId,
      draft: { name, terms, isNormalised, note },
    });
    const moved = preview.changes.find(({ fromPlace, toPlace }) => (toPlace ?? 0) < (fromPlace ?? 0));
    await page
      .getByRole('table', { name: /^Places by these rules/ })
      .getByText(`from ${moved!.fromPlace} to ${moved!.toPlace}`)
      .first()
      .waitFor();
    expect(await accessibilityFaults(page)).toEqual([]);
    // Nothing is stored yet.
    expect((await standingsOf(table.id)).scheme.version).toBe(before.scheme.version);

    await page.getByRole('button', { name: `Save as version ${before.scheme.version + 1}` }).click();
    await page.getByText(/its tables follow it/).waitFor();
    await page.getByText(`Before: `, { exact: false }).first().waitFor();
    const after = await standingsOf(table.id);
    expect(after.scheme.version).toBe(before.scheme.version + 1);
    expect(after.rows.map(({ contender }) => contender.key)).toEqual(
      preview.standings.rows.map(({ contender }) => contender.key),
    );
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('keeps a reference tool that was merged since, and shows the one that it counts to', async () => {
    // The table that stands beside a scheme that no table has.
    const { rows, scheme } = await standingsOf(tableOf().id);
    const items = await connection.request('listBenchItems', {});
    const { contender } = rows[0]!;
    const setup = items.setups.find(({ id }) => id === contender.setup?.setupId)!;
    const tool = items.tools.find(({ id }) => id === setup.toolId)!;
    const twin = { ...tool, id: 'tool-twin', name: 'Entered twice (demo)' };
    await connection.request('saveTool', { tool: twin });
    await connection.request('saveSetup', { setup: { ...setup, id: 'setup-twin', toolId: twin.id } });
    const term = scheme.terms.find(({ measure }) => measure.of === 'trial')!;
    const reference = { is: 'contender', key: 'setup:setup-twin' } as const;
    const draft = {
      name: 'By a reference (demo)',
      terms: [{ ...term, how: { way: 'shareOfReference' as const, points: 100, reference } }],
      isNormalised: false,
      note: '',
    };
    const { schemeId } = await connection.request('saveScheme', { schemeId: null, draft });
    await connection.request('mergeTools', {
      fromToolId: twin.id,
      intoToolId: tool.id,
      reason: 'Entered twice',
    });

    const { page, complaints } = await open(`/standings/schemes/${schemeId}`);
    await page.getByText(`100 points for what ${contender.label} has`).first().waitFor();
    await page.getByRole('button', { name: `Change ${term.label}` }).click();
    const chosen = page.locator('.ui-field').filter({ hasText: 'Reference tool' }).getByRole('button');
    await expect.poll(() => chosen.innerText(), patience).toContain(contender.label);
    await page.getByText('Nothing is other than in version 1.').waitFor();
    await page.getByText(/^With these rules/).waitFor();
    expect(await page.getByText('is not in the table').count()).toBe(0);

    await connection.request('undoMerge', { fromToolId: twin.id, reason: 'They are two' });
    await expect
      .poll(() => chosen.innerText(), patience)
      .toMatch(/^Entered twice \(demo\).* \(not in this table\)/);
    await page.getByText('is not in the table').first().waitFor();
    await chosen.click();
    await page.getByRole('option', { name: contender.label, exact: true }).click();
    await page.getByText('is not in the table').first().waitFor({ state: 'detached' });
    expect(await accessibilityFaults(page)).toEqual([]);
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('that is ready-made is copied, and says beside a term what is wrong with it', async () => {
    const { page, complaints } = await open('/standings/schemes');
    await page
      .getByRole('link', { name: /^Copy / })
      .first()
      .click();
    await page.getByRole('textbox', { name: 'Name of the scheme' }).waitFor();
    expect(await page.getByRole('textbox', { name: 'Name of the scheme' }).inputValue()).toMatch(/, own$/);
    await page.getByRole('button', { name: 'Add a term' }).click();
    await page.getByText('Steps', { exact: true }).click();
    await page.getByRole('textbox', { name: 'Step 1 from' }).fill('200');
    await page.getByRole('textbox', { name: 'Step 1, points' }).fill('1');
    await page.getByRole('button', { name: 'Add a step of points' }).click();
    await page.getByRole('textbox', { name: 'Step 2 from' }).fill('100');
    await page.getByRole('textbox', { name: 'Step 2, points' }).fill('2');
    await page
      .getByRole('status', { name: /^Findings on/ })
      .getByText('Cannot be saved')
      .waitFor();
    expect(await accessibilityFaults(page)).toEqual([]);
    expect(await page.getByRole('button', { name: 'Save as a new scheme' }).isDisabled()).toBe(true);
    await page.getByRole('textbox', { name: 'Step 2 from' }).fill('300');
    const save = page.getByRole('button', { name: 'Save as a new scheme' });
    await expect.poll(() => save.isEnabled(), patience).toBe(true);
    await save.click();
    await page.waitForURL(/\/standings\/schemes\/(?!new)/);
    await page.getByRole('heading', { level: 1, name: /, own$/ }).waitFor();
    const { schemes, readyMadeIds } = await connection.request('listSchemes', {});
    const own = schemes.find(({ name }) => name.endsWith(', own'));
    expect(readyMadeIds).not.toContain(own?.schemeId);
    expect(own?.terms.at(-1)?.how).toEqual({
      way: 'steps',
      steps: [
        { from: 200, points: 1 },
        { from: 300, points: 2 },
      ],
    });
    expect(complaints).toEqual([]);
    await page.close();
  });
});

describe('how firm an order is', () => {
  it('is shown as a picture, and in words for who does not see it', async () => {
    const table = tableOf();
    const { page, complaints } = await open(`/standings/${table.id}/sensitivity`);
    const picture = page.getByRole('img', { name: /The order stays/ });
    await picture.waitFor();
    const { scheme } = await standingsOf(table.id);
    for (const { label } of scheme.terms)
      expect(await picture.getAttribute('aria-label')).toContain(`${label}: `);
    const shares = page.getByRole('list', { name: 'Share of weightings in which each comes first' });
    expect(await shares.getByRole('listitem').count()).toBeGreaterThan(0);
    expect(await accessibilityFaults(page)).toEqual([]);
    expect(complaints).toEqual([]);
    await page.close();
  });
});
