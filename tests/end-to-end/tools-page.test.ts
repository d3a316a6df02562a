import { readFileSync } from 'node:fs';
import { setTimeout as wait } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import { AppError } from '../../shared-lib/app-error.ts';
import { LARGEST_PHOTO_BYTES } from '../../shared-lib/catalogue/catalogue-requests.ts';
import type { WebSocketConnection } from '../../renderer/api-client/websocket-connection.ts';
import { axeComplaints } from '../helpers/axe-complaints.ts';
import { connectToProgram } from '../helpers/connect-to-program.ts';
import { useProgramInBrowser } from '../helpers/program-in-browser.ts';
import { openPage } from '../helpers/browser-page.ts';
import { noToolDetails } from '../helpers/scripted-catalogue.ts';

const running = useProgramInBrowser();
let connection: WebSocketConnection;

/** A busy machine takes its time. */
const patience = { timeout: 20_000 };

async function open(path: string): Promise<{ page: Page; complaints: string[] }> {
  const url = new URL(running.program.url);
  url.pathname = path;
  return openPage(running.browser, url.href);
}

const fill = (page: Page, name: string, value: string) =>
  page.getByRole('textbox', { name, exact: true }).fill(value);
const press = (page: Page, name: string | RegExp) => page.getByRole('button', { name }).click();
const choose = async (page: Page, label: string, option: string) => {
  await page.getByRole('button', { name: new RegExp(`${label}$`) }).click();
  await page.getByRole('option', { name: option, exact: true }).click();
};
const rowsOf = (page: Page) => page.getByRole('table', { name: 'Tools' }).getByRole('row');
const expectTools = (page: Page, count: number) =>
  expect.poll(async () => (await rowsOf(page).count()) - 1, patience).toBe(count);

/** Where the focus goes when the control that had it is gone. */
const untilFocusOn = (page: Page, heading: string) =>
  page.getByRole('heading', { name: heading, exact: true }).and(page.locator(':focus')).waitFor();

async function toolNamed(name: string) {
  const { tools } = await connection.request('listCatalogue', {});
  const found = tools.find(({ tool }) => tool.name === name);
  if (found === undefined) throw new Error(`There is no ${name}`);
  return found;
}

async function saveTool(id: string, name: string, model: string) {
  const bench = { supply: 'battery', declaredVibrationMps2: null, declaredNoiseDbA: null } as const;
  await connection.request('saveCatalogueTool', {
    tool: { id, name, ...bench, isArchived: false },
    details: { ...noToolDetails, maker: 'Tarnwick (demo)', model },
  });
}

async function chooseFile(
  page: Page,
  buttonName: string,
  file: { name: string; mimeType: string; buffer: Buffer },
) {
  const chooser = page.waitForEvent('filechooser');
  await press(page, buttonName);
  await (await chooser).setFiles(file);
}

beforeAll(async () => {
  connection = connectToProgram(running.program.url);
  await connection.request('updateSettings', { operator: 'Demo operator' });
});
afterAll(() => connection.close());

describe('the place Tools', () => {
  it('takes a tool with units as they come, says what cannot be read, and has it after a reload', async () => {
    const { page, complaints } = await open('/tools');
    await page.getByRole('link', { name: 'Enter a tool' }).click();
    await fill(page, 'Name', 'Hollin H5 (demo)');
    await fill(page, 'Maker', 'Hollin (demo)');
    await fill(page, 'Model', 'H5');
    await choose(page, 'Class', 'Impact wrench');
    await fill(page, 'Length', '6 in');
    await fill(page, 'Mass, bare', '45 lb');
    await press(page, 'Add a claim');
    await fill(page, 'Claimed torque', '250 kg');
    await page.keyboard.press('Tab');
    await page.getByText('“kg” is not a unit known here. Use N·m, ft·lbf, in·lbf or kgf·m.').waitFor();
    await page.getByText('Still needed: the torque of claim 1, the source of claim 1.').waitFor();
    expect(await axeComplaints(page)).toEqual([]);
    await fill(page, 'Claimed torque', '250 ft·lbf');
    await fill(page, 'Source of the claim', 'box');
    await press(page, 'Done with claim 1');
    await press(page, 'Add a price');
    await fill(page, 'Amount', '249,90 €');
    await press(page, 'Done with price 1');
    // What was typed outlives a look at another place.
    await page.getByRole('link', { name: 'Setup', exact: true }).first().click();
    await page.goBack();
    await press(page, 'Store this tool');

    await page.getByRole('heading', { name: 'Hollin H5 (demo)', level: 1 }).waitFor();
    await page.reload();
    await page.getByRole('heading', { name: 'Hollin H5 (demo)', level: 1 }).waitFor();
    await page.getByRole('cell', { name: /^250\sft·lbf = 338\.954\sN·m$/ }).waitFor();
    await page.getByRole('cell', { name: /^249\.90\sEUR$/ }).waitFor();
    // Pound, inch and foot are exact: 0.45359237 kg, 25.4 mm, 304.8 mm; standard gravity is 9.80665 m/s².
    const { details } = await toolNamed('Hollin H5 (demo)');
    expect(details.massBareKg).toBeCloseTo(45 * 0.45359237, 9);
    expect(details.lengthM).toBeCloseTo(0.1524, 9);
    expect(details.claims[0]?.torqueNm).toBeCloseTo(250 * 0.45359237 * 9.80665 * 0.3048, 6);

    await fill(page, 'Model', 'H5 mk 2');
    await press(page, 'Store the changes');
    await page
      .getByText(/^Model: /)
      .first()
      .waitFor();
    expect((await toolNamed('Hollin H5 (demo)')).details).toEqual({ ...details, model: 'H5 mk 2' });
    expect(await axeComplaints(page)).toEqual([]);
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('stores a large photo scaled down, shows it by its caption, and gives a removed one back', async () => {
    const { tool } = await toolNamed('Hollin H5 (demo)');
    const { page, complaints } = await open(`/tools/${tool.id}`);
    const png = await page.evaluate(() => {
      const canvas = document.createElement('canvas');
      canvas.width = 3000;
      canvas.height = 2000;
      const context = canvas.getContext('2d');
      for (let x = 0; x < 3000; x += 5) {
        for (let y = 0; y < 2000; y += 50) {
          if (context !== null) context.fillStyle = `hsl(${(x * 7919 + y * 104_729) % 360} 60% 50%)`;
          context?.fillRect(x, y, 5, 50);
        }
      }
      return canvas.toDataURL('image/png').split(',')[1] ?? '';
    });
    const photo = { name: 'side.png', mimeType: 'image/png', buffer: Buffer.from(png, 'base64') };
    await chooseFile(page, 'Add a photo', { ...photo, buffer: Buffer.from('no picture') });
    await page.getByText(/^This file is not a picture/).waitFor();
    await chooseFile(page, 'Add a photo', photo);
    await fill(page, 'Caption', 'Side view (demo)');
    await press(page, 'Add this photo');
    const image = page.getByRole('img', { name: 'Side view (demo)' });
    await image.waitFor();
    await expect
      .poll(() => image.evaluate((element) => (element as HTMLImageElement).naturalWidth), patience)
      .toBe(1280);
    const [stored] = (await toolNamed('Hollin H5 (demo)')).photos;
    const { bytes } = await connection.request('getToolPhoto', { photoId: stored?.id ?? '' });
    expect(bytes.length).toBeLessThanOrEqual(LARGEST_PHOTO_BYTES);
    await press(page, 'Remove the photo: Side view (demo)');
    await press(page, 'Put it back');
    await image.waitFor();
    expect(await axeComplaints(page)).toEqual([]);
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('points out likely twins, merges them with a reason, and takes it back from the page of the tool', async () => {
    await saveTool('t6', 'Tarnwick T6 (demo)', 'T6');
    await saveTool('t6-twin', 'Tarnwick T-6 (demo)', 'T 6');
    const { page, complaints } = await open('/tools');
    await page.getByText('Two entries look like one tool.').waitFor();
    await expectTools(page, 3);
    expect(await axeComplaints(page)).toEqual([]);
    await press(page, /^Merge Tarnwick/);
    const dialog = page.getByRole('dialog');
    await dialog
      .getByText(/^Tarnwick T6 \(demo\) /)
      .first()
      .click();
    await dialog.getByText(/The merge can be undone/).waitFor();
    await fill(page, 'Why they are one tool', 'Entered twice');
    await dialog.getByRole('button', { name: 'Merge Tarnwick T-6 (demo) into Tarnwick T6 (demo)' }).click();
    await expectTools(page, 2);
    await page.getByText('Archived and merged too (1)').click();
    await expectTools(page, 3);
    await page.getByText('merged into Tarnwick T6 (demo)').waitFor();
    await page.getByRole('link', { name: 'Tarnwick T-6 (demo)' }).click();
    await press(page, 'Undo the merge of Tarnwick T-6 (demo)');
    await page.getByText('They are two different tools').click();
    await page.getByRole('dialog').getByRole('button', { name: 'Undo the merge' }).click();
    await page.getByRole('button', { name: 'Archive' }).waitFor();
    expect((await toolNamed('Tarnwick T-6 (demo)')).mergedIntoToolId).toBeNull();
    await press(page, 'Archive');
    await page.getByText(/^Archived: it is offered for no new setup/).waitFor();
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('offers the way back of a merge, and no other, where tools are listed for run sheets', async () => {
    await connection.request('mergeTools', {
      fromToolId: 't6-twin',
      intoToolId: 't6',
      reason: 'Entered twice',
    });
    const { page, complaints } = await open('/bench/items');
    await page.getByText('Show what is no longer listed').click();
    await page.getByText('merged into Tarnwick T6 (demo), to which its trials and setups count').waitFor();
    const putBack = page.getByRole('button', { name: 'Put back Tarnwick T-6 (demo)' });
    expect(await putBack.count()).toBe(0);
    expect(await axeComplaints(page)).toEqual([]);
    await press(page, 'Undo the merge of Tarnwick T-6 (demo)');
    await page.getByText('They are two different tools').click();
    await page.getByRole('dialog').getByRole('button', { name: 'Undo the merge' }).click();
    await putBack.waitFor();
    await untilFocusOn(page, 'Tools');
    expect((await toolNamed('Tarnwick T-6 (demo)')).mergedIntoToolId).toBeNull();
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('writes the catalogue to a file and takes a changed one back, but nothing of one with a bad line', async () => {
    const { page, complaints } = await open('/tools');
    const download = page.waitForEvent('download');
    await press(page, 'Export as CSV');
    const csv = readFileSync(await (await download).path(), 'utf8');
    expect(csv).toContain('Hollin H5 (demo)');

    await page.getByRole('link', { name: 'Import', exact: true }).click();
    const offer = (text: string) =>
      chooseFile(page, 'Choose a file', {
        name: 'tools.csv',
        mimeType: 'text/csv',
        buffer: Buffer.from(text),
      });
    await offer(csv);
    await page.getByText(/so there is nothing to import/).waitFor();
    await offer(csv.replaceAll('impact wrench', 'hammer'));
    await page.getByText(/^1 line is refused, so nothing is imported/).waitFor();
    expect(await page.getByRole('button', { name: 'Import all of it' }).count()).toBe(0);
    expect(await axeComplaints(page)).toEqual([]);
    await offer(csv.replaceAll('H5 mk 2', 'H5 mk 3'));
    await press(page, 'Import all of it');
    await page.getByText(/^Imported: 0 new tools, 1 changed\./).waitFor();
    expect((await toolNamed('Hollin H5 (demo)')).details.model).toBe('H5 mk 3');
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('stores what was typed and leaves what was stored from elsewhere meanwhile, or asks which of the two stays', async () => {
    const { tool, details } = await toolNamed('Hollin H5 (demo)');
    const kit = { id: 'p-kit', kind: 'kit', amount: 399, currency: 'EUR', on: '2026-03-02', source: 'shop' };
    const saveElsewhere = (change: Partial<typeof details>) =>
      connection.request('saveCatalogueTool', { tool, details: { ...details, ...change } });
    const prices = [...details.prices, kit] as typeof details.prices;
    const { page, complaints } = await open(`/tools/${tool.id}`);
    await fill(page, 'Note', 'Anvil worn');
    await page.getByText('Not stored yet.').waitFor();
    await page.getByRole('link', { name: 'Setup', exact: true }).first().click();
    await saveElsewhere({ prices });
    await page.goBack();
    await page.getByText('Not stored yet.').waitFor();
    await page.getByRole('cell', { name: /^399(\.00)?\sEUR$/ }).waitFor();
    await press(page, 'Store the changes');
    await page
      .getByText(/^Note: “Anvil worn”/)
      .first()
      .waitFor();
    expect((await toolNamed('Hollin H5 (demo)')).details).toEqual({ ...details, note: 'Anvil worn', prices });

    await press(page, 'Remove price 2');
    await fill(page, 'Note', 'Anvil new');
    await saveElsewhere({ note: 'Anvil worn, sent in', prices: prices.slice(1) });
    await press(page, 'Take what is stored: the prices');
    await untilFocusOn(page, 'Details');
    expect(await page.getByRole('button', { name: 'Store the changes' }).isDisabled()).toBe(true);
    expect(await axeComplaints(page)).toEqual([]);
    await press(page, 'Keep what is typed: the note');
    await untilFocusOn(page, 'Details');
    await press(page, 'Store the changes');
    await page
      .getByText(/^Note: “Anvil new”/)
      .first()
      .waitFor();
    expect((await toolNamed('Hollin H5 (demo)')).details).toEqual({
      ...details,
      note: 'Anvil new',
      prices: prices.slice(1),
    });
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('enters an exchange rate', async () => {
    const { page, complaints } = await open('/tools/rates');
    await fill(page, 'One unit of', 'usd');
    await fill(page, 'is worth', '0,92');
    await fill(page, 'Source', 'central bank');
    await press(page, 'Enter this rate');
    await page.getByRole('cell', { name: /^1\sUSD = 0\.92\sEUR$/ }).waitFor();
    expect(await axeComplaints(page)).toEqual([]);
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('keeps a rating at the desk with its words, and withdraws it with a reason', async () => {
    const { tool } = await toolNamed('Hollin H5 (demo)');
    const { page, complaints } = await open(`/tools/${tool.id}`);
    await page.getByRole('link', { name: 'Words of the scale' }).click();
    await fill(page, 'What 10 means', 'all day, one-handed');
    await page.keyboard.press('Tab');
    await page.goBack();
    await page.getByText('all day, one-handed').waitFor();
    await fill(page, 'Rater', 'Second rater (demo)');
    await choose(page, 'Judgement, 1 to 10', '7.5');
    await press(page, 'Store this rating');
    await page.getByText('Judgement: 7.5 (1 rater).').waitFor();
    expect((await toolNamed('Hollin H5 (demo)')).ratings).toMatchObject([{ score: 7.5, isBlind: false }]);
    await connection.request('rateHandling', {
      toolId: tool.id,
      rater: 'Second rater (demo)',
      score: 4,
      isBlind: false,
      note: '',
    });
    await page.getByText('Judgement: 4 (1 rater).').waitFor();
    const withdraw = async () => {
      await press(page, 'Withdraw the rating of Second rater (demo)');
      await page.getByText('had rated the tool before, that rating counts again.').waitFor();
      await page.getByText('The rater takes it back').click();
      await press(page, 'Withdraw it');
    };
    await withdraw();
    await page.getByText('Judgement: 7.5 (1 rater).').waitFor();
    await withdraw();
    await page.getByText('Nobody has rated it yet.').waitFor();
    expect(complaints).toEqual([]);
    await page.close();
  });
});

describe('handling before the figures', () => {
  /** A short pull on the simulated bench, kept whatever its quality. */
  async function pull(): Promise<void> {
    const step = {
      toolName: 'Hollin H5 (demo)',
      kind: 'tighten',
      direction: 'forward',
      plannedS: 0.5,
    } as const;
    const before = (await connection.request('getStatus', {})).trial;
    const beforeId = 'trialId' in before ? before.trialId : null;
    await connection.request('updateSettings', { step });
    for (let attempt = 1; ; attempt += 1) {
      try {
        await connection.request('armTrial', {});
        break;
      } catch (refusal) {
        if (!(refusal instanceof AppError) || attempt === 100) throw refusal;
        await wait(200);
      }
    }
    for (;;) {
      const { trial } = await connection.request('getStatus', {});
      if (trial.phase === 'reviewing') await connection.request('keepTrial', { trialId: trial.trialId });
      if (trial.phase === 'kept' && trial.trialId !== beforeId) return;
      if (trial.phase === 'interrupted') throw new Error(trial.sentence);
      await wait(100);
    }
  }

  it('asks once a kept run is there, shows no figure until it is answered, and stores it as blind', async () => {
    await connection.request('connectSimulatedBench', {});
    await connection.request('updateSettings', { ratesHandlingBlind: true });
    const { page, complaints } = await open('/bench');
    await pull();
    await page.getByRole('heading', { name: 'How does Hollin H5 (demo) feel in the hand?' }).waitFor();
    await page.getByText('shown after the rating').waitFor();
    await page.getByText('all day, one-handed').waitFor();
    expect(await page.getByText('Sustained torque').count()).toBe(0);
    expect(await page.getByText('Final torque').count()).toBe(0);
    expect(await axeComplaints(page)).toEqual([]);
    await page.getByText('8.5', { exact: true }).click();
    await press(page, 'Store 8.5 and show the figures');
    await page.getByText('Final torque').first().waitFor();
    expect((await toolNamed('Hollin H5 (demo)')).ratings).toMatchObject([
      { rater: 'Demo operator', score: 8.5, isBlind: true },
    ]);
    await pull();
    await page.getByText('Final torque').first().waitFor();
    expect(await page.getByRole('heading', { name: /feel in the hand/ }).count()).toBe(0);
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('shows the figures at once to who says not now, and asks nobody while it is off', async () => {
    // That the one before is voided makes its figures no less seen.
    const kept = { search: 'Hollin', state: 'kept', sort: 'oldest', offset: 0, limit: 2 } as const;
    const { trials } = await connection.request('listTrials', kept);
    expect(trials).toHaveLength(2);
    await connection.request('voidTrial', { trialId: trials[0]?.id ?? '', reason: 'Rig moved' });
    await connection.request('updateSettings', { operator: 'Second rater (demo)' });
    const { page, complaints } = await open('/bench');
    await page.getByRole('heading', { name: 'How does Hollin H5 (demo) feel in the hand?' }).waitFor();
    await page.getByText('I have not seen its figures (it was pulled before)').waitFor();
    await press(page, 'Not now');
    await page.getByText('Final torque').first().waitFor();
    await page.reload();
    await page.getByText('Final torque').first().waitFor();
    // Put away since, and pulled by its name: it still is that tool.
    const { tool, details } = await toolNamed('Hollin H5 (demo)');
    await connection.request('saveCatalogueTool', { tool: { ...tool, isArchived: true }, details });
    await connection.request('updateSettings', { operator: 'Third rater (demo)' });
    await page.getByRole('heading', { name: 'How does Hollin H5 (demo) feel in the hand?' }).waitFor();
    await connection.request('updateSettings', { ratesHandlingBlind: false });
    await page.getByText('Final torque').first().waitFor();
    expect(complaints).toEqual([]);
    await page.close();
  });
});
