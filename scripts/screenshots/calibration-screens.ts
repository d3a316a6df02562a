import { setTimeout as wait } from 'node:timers/promises';
import type { Page } from 'playwright-core';
import { simulatedCalibration } from '../../shared-lib/simulation/simulated-transducer.ts';
import { fill, openPlace, photograph, photographPaper } from './photograph.ts';

/** Some hundred readings, each held still for half a second. */
const RUN_TIMEOUT_MS = 900_000;
const REPORT_PAGES = 12;
const CHECKS = 20;
/** Until a weight on the simulated bench swings no more. */
const SWING_MS = 4000;

async function openWay(page: Page, name: string): Promise<void> {
  await openPlace(page, 'Calibrate');
  await page.getByRole('link', { name, exact: true }).click();
  await wait(800);
}

async function press(page: Page, name: string | RegExp): Promise<void> {
  await page.getByRole('button', { name }).first().click();
  await wait(600);
}

/** Everything of Calibrate on the simulated bench, from its overview to a check that fails and what becomes of the trials. */
export async function photographCalibration(page: Page, runTrial: () => Promise<void>): Promise<void> {
  await openPlace(page, 'Calibrate');
  await photograph(page, 'calibrate');
  await openWay(page, 'Weights, arms and places');
  await press(page, 'Put in demo weights');
  await page.getByText('Workshop (demo)').first().waitFor();
  await photograph(page, 'calibrate-standards');
  await photographRun(page);
  await calibrateByHand(page, 'From the certificate (demo)', 1);
  await photographPassedCheck(page);
  await photographFailedCheck(page, runTrial);
  await openWay(page, 'How the rig rings');
  await press(page, 'Watch for a tap');
  await page.getByText('What the rig answered').waitFor();
  await photograph(page, 'calibrate-ringing');
}

async function photographRun(page: Page): Promise<void> {
  await openWay(page, 'Guided calibration');
  await fill(page, 'Dwell', '0.5 s');
  await wait(800);
  await photograph(page, 'calibrate-run-setup');
  await press(page, 'Start hanging weights');
  await page.getByRole('region', { name: 'What to do now' }).waitFor();
  await wait(1500);
  await photograph(page, 'calibrate-run-waiting');
  await page.getByText('Simulated hands do it by themselves').click();
  // By then some series are in, so that residuals show.
  await wait(75_000);
  await photograph(page, 'calibrate-run-under-way');
  await page
    .getByRole('button', { name: 'Accept this calibration and use it' })
    .waitFor({ timeout: RUN_TIMEOUT_MS });
  await wait(1500);
  await photograph(page, 'calibrate-result');
  await page.getByText('Regular new calibration').click();
  await press(page, 'Accept this calibration and use it');
  await page.getByText('is saved and in use').waitFor();
  await photograph(page, 'calibrate-in-use');
  await page.getByRole('link', { name: 'Compare with the one in use' }).first().click();
  await page.getByRole('img').first().waitFor();
  await photograph(page, 'calibrate-compare');
  await openPlace(page, 'Calibrate');
  await page.getByRole('link', { name: 'Open its report' }).click();
  await page.getByText('All readings').waitFor();
  await photograph(page, 'calibrate-report');
  await photographPaper(page, 'calibrate-report', REPORT_PAGES);
}

async function photographPassedCheck(page: Page): Promise<void> {
  await openWay(page, 'Daily check');
  await page.getByText('20 kg A (demo)').click();
  await page.getByText('20 kg B (demo)').click();
  await press(page, /Arm$/);
  await page.getByRole('option', { name: /^Long arm/ }).click();
  await photograph(page, 'calibrate-check-means');
  await press(page, 'Check with this');
  // The control charts are drawn from twenty on; the next one they would judge.
  for (let number = 1; number <= CHECKS; number += 1) {
    await readCheck(page, number === 1 ? 'calibrate-check-load' : null);
    await page.getByRole('heading', { name: 'Passed', exact: true }).waitFor();
    await press(page, 'Take it off the simulated bench');
    await wait(SWING_MS);
    if (number < CHECKS) await press(page, 'Check once more');
  }
  await photograph(page, 'calibrate-check-passed');
}

async function readCheck(page: Page, picture: string | null): Promise<void> {
  await press(page, 'Read the zero');
  await page.getByText('Hang 40').waitFor();
  await press(page, 'Hang it on the simulated bench');
  await wait(SWING_MS);
  if (picture !== null) await photograph(page, picture);
  await press(page, 'Read it and judge');
  // On a busy machine it may swing for longer.
  const again = page.getByRole('button', { name: 'Read it again and judge' });
  for (let attempt = 1; attempt <= 5 && (await again.isVisible()); attempt += 1) {
    await wait(SWING_MS);
    await again.click();
    await wait(600);
  }
}

/** A certificate of the simulated bench; its gain is the true one times `factor`. */
async function calibrateByHand(page: Page, label: string, factor: number): Promise<void> {
  await openWay(page, 'Calibrate by hand');
  await page.getByText('Known torque, known counts').click();
  const { gainNmPerCount } = simulatedCalibration.forward;
  await fill(page, 'Counts without load', '0');
  await fill(page, 'Forward torque', '1000 N·m');
  await fill(page, 'Counts at the forward torque', String(Math.round(1000 / gainNmPerCount / factor)));
  await fill(page, 'Label', label);
  await page.getByRole('textbox', { name: /^Uncertainty/ }).fill('0.2 %');
  await page.getByRole('textbox', { name: /^Why it replaces/ }).fill('To show a daily check');
  await press(page, /^Save/);
  await page.getByRole('heading', { name: label }).waitFor();
}

/** A calibration by a certificate that is one percent off, a trial, and the check that finds it. */
async function photographFailedCheck(page: Page, runTrial: () => Promise<void>): Promise<void> {
  await calibrateByHand(page, 'Mistyped certificate (demo)', 1.01);
  await openPlace(page, 'Bench');
  await page.getByText('Forward', { exact: true }).click();
  await page.getByRole('button', { name: /^(Start|Repeat)/ }).focus();
  await runTrial();
  await openWay(page, 'Daily check');
  await readCheck(page, null);
  await page.getByRole('heading', { name: 'Failed', exact: true }).waitFor();
  await photograph(page, 'calibrate-check-failed');
  await page.getByRole('link', { name: 'Show them in the Logbook' }).click();
  await page.getByText('suspect trial').first().waitFor();
  await photograph(page, 'logbook-suspect');
  await page.getByRole('row').filter({ hasText: 'Suspect' }).first().click();
  await page.getByRole('link', { name: 'Reassign to another calibration' }).click();
  await press(page, /Read it by/);
  await page.getByRole('option', { name: /^Weights on arm/ }).click();
  await page.getByRole('img').first().waitFor();
  await photograph(page, 'logbook-reassign');
}
