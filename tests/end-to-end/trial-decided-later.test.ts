import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Browser } from 'playwright-core';
import { axeComplaints } from '../helpers/axe-complaints.ts';
import { openBrowser, openPage } from '../helpers/browser-page.ts';
import { startProgram, type RunningProgram } from '../helpers/running-program.ts';
import { makeDataFolder } from '../helpers/running-services.ts';
import { leaveTrialsUndecided, type UndecidedTrials } from '../helpers/undecided-trials.ts';

const folder = makeDataFolder();
let left: UndecidedTrials;
let program: RunningProgram;
let browser: Browser;

beforeAll(async () => {
  left = await leaveTrialsUndecided(folder.path);
  program = await startProgram(folder.path);
  browser = await openBrowser();
});

afterAll(async () => {
  await browser.close();
  await program.end();
  folder.remove();
});

async function openTrial(trialId: string) {
  const url = new URL(program.url);
  url.pathname = `/logbook/${trialId}`;
  return openPage(browser, url.href);
}

describe('a trial that waited for its decision when the program was closed', () => {
  it('is decided in the Logbook by its reasons, and kept with what ended it', async () => {
    const { page, complaints } = await openTrial(left.endedEarly.trialId);
    const trail = page.getByRole('region', { name: 'Trail' });
    await trail.getByText(/^Torque fell away .* after onset/).waitFor();
    await page.getByText('They show once the trial has been kept.').waitFor();
    expect(await page.getByText('Sustained torque').count()).toBe(0);
    expect(await page.getByRole('button', { name: 'Keep this trial', exact: true }).count()).toBe(0);
    expect(await axeComplaints(page)).toEqual([]);
    // In a narrow window they wrap rather than run out of the panel.
    await page.setViewportSize({ width: 480, height: 900 });
    const causes = await trail.getByRole('group', { name: 'Keep it, since' }).boundingBox();
    const panel = await trail.boundingBox();
    if (causes === null || panel === null) throw new Error('The trail is not in sight');
    expect(causes.x + causes.width).toBeLessThanOrEqual(panel.x + panel.width);
    await page.setViewportSize({ width: 1440, height: 900 });
    // The keys of the Bench are none here.
    await page.keyboard.press('1');
    await trail.getByRole('button', { name: 'It cut out hot' }).click();
    await page.getByText('It ended early: “It cut out hot”.').waitFor();
    await page.getByText('Sustained torque').first().waitFor();
    expect(await page.getByText('It ended early').count()).toBe(1);
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('is kept without a question where it was cut short and nothing is measured yet', async () => {
    const { page, complaints } = await openTrial(left.cutOffId);
    await page.getByRole('button', { name: 'Keep this trial', exact: true }).click();
    await page.getByText('Sustained torque').first().waitFor();
    expect(await page.getByRole('button', { name: 'It cut out hot' }).count()).toBe(0);
    expect(complaints).toEqual([]);
    await page.close();
  });
});
