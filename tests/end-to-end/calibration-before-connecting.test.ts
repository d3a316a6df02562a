import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import type { WebSocketConnection } from '../../renderer/api-client/websocket-connection.ts';
import { connectToProgram } from '../helpers/connect-to-program.ts';
import { useProgramInBrowser } from '../helpers/program-in-browser.ts';
import { pullByConnection } from '../helpers/pull-by-connection.ts';
import { openPage } from '../helpers/browser-page.ts';

const running = useProgramInBrowser();
let connection: WebSocketConnection;

beforeAll(() => {
  connection = connectToProgram(running.program.url);
});
afterAll(() => {
  connection.close();
});

async function fill(page: Page, label: string, value: string): Promise<void> {
  await page.getByRole('textbox', { name: label, exact: true }).fill(value);
  await page.keyboard.press('Tab');
}

describe('a calibration by hand, with nothing connected', () => {
  it('means what was typed though the unit of torque is switched meanwhile, and is in use on every page', async () => {
    const { page, complaints } = await openPage(running.browser, running.program.url);
    await page.getByRole('link', { name: 'Calibrate', exact: true }).first().click();
    await page.getByText('There is no calibration, so the Bench shows counts.').waitFor();
    await page.getByRole('link', { name: 'Calibrate by hand', exact: true }).click();
    await page.getByText('Known torque, known counts').click();
    await fill(page, 'Counts without load', '0');
    await fill(page, 'Forward torque', '200');
    await fill(page, 'Counts at the forward torque', '800000');
    await connection.request('updateSettings', { torqueUnit: 'ftLbf' });
    const torque = page.getByRole('textbox', { name: 'Forward torque', exact: true });
    await expect.poll(async () => (await torque.inputValue()).replaceAll('\u202f', ' ')).toBe('200 N·m');
    await fill(page, 'Label', 'From the certificate (demo)');
    await page.getByRole('button', { name: /^Save/ }).click();
    await page.getByRole('heading', { name: 'From the certificate (demo)' }).waitFor();
    const { calibrations } = await connection.request('listCalibrations', {});
    expect(calibrations).toMatchObject([{ forward: { gainNmPerCount: 0.00025 } }]);

    await page.getByRole('link', { name: 'Daily check, two minutes' }).click();
    await page.getByText('No reading comes in, so nothing can be checked now.', { exact: false }).waitFor();
    expect(await page.getByText('Nothing to check yet').count()).toBe(0);
    expect(complaints).toEqual([]);
    await page.close();
  });
});

describe('a trial of a transducer that is not on the bench now', () => {
  it('says what it is read by, and why there is nothing else to read it by', async () => {
    await connection.request('connectSimulatedBench', {});
    const trialId = await pullByConnection(connection);
    await connection.request('disconnectAmplifier', {});
    const { transducers } = await connection.request('listTransducers', {});
    const real = transducers.find(({ isSimulated }) => !isSimulated);
    await connection.request('activateTransducer', { transducerId: real?.id ?? '' });
    const { conditions } = await connection.request('getTrial', { trialId });
    const { calibrations } = await connection.request('listCalibrations', {
      transducerId: conditions.transducer.id,
    });
    const label = calibrations[0]?.label ?? 'no calibration';

    const url = new URL(running.program.url);
    url.pathname = `/logbook/${trialId}`;
    const { page, complaints } = await openPage(running.browser, url.href);
    await page.getByText(`Read by “${label}”`, { exact: false }).first().waitFor();
    expect(await page.getByText(conditions.calibrationId, { exact: true }).count()).toBe(0);
    url.pathname = '/logbook/reassign';
    url.search = `?trial=${trialId}`;
    await page.goto(url.href);
    await page.getByText(`Read now: 1 by “${label}”.`).waitFor();
    await page
      .getByText(`There is no other calibration of “${conditions.transducer.name}”`, { exact: false })
      .waitFor();
    expect(complaints).toEqual([]);
    await page.close();
  });
});
