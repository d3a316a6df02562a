import { describe, expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import { simulatedCalibration } from '../../shared-lib/simulation/simulated-transducer.ts';
import { useProgramInBrowser } from '../helpers/program-in-browser.ts';
import { openPage } from '../helpers/browser-page.ts';

const running = useProgramInBrowser();

async function openPlace(page: Page, name: string): Promise<void> {
  await page.getByRole('link', { name, exact: true }).first().click();
}

async function openWay(page: Page, name: string): Promise<void> {
  await openPlace(page, 'Calibrate');
  await page.getByRole('link', { name, exact: true }).click();
}

async function fill(page: Page, label: string | RegExp, value: string): Promise<void> {
  await page.getByRole('textbox', { name: label, exact: true }).fill(value);
  await page.keyboard.press('Tab');
}

/** A certificate for the simulated bench; its gains are the true ones times `factor`. */
async function calibrateByHand(page: Page, label: string, factor: number): Promise<void> {
  await openWay(page, 'Calibrate by hand');
  await page.getByText('Known torque, known counts').click();
  const countsAt = (sense: 'forward' | 'reverse', sign: 1 | -1) =>
    String(Math.round((sign * 1400) / simulatedCalibration[sense].gainNmPerCount / factor));
  await fill(page, 'Counts without load', '0');
  await fill(page, 'Forward torque', '1400 N·m');
  await fill(page, 'Counts at the forward torque', countsAt('forward', 1));
  await fill(page, 'Reverse torque', '1400 N·m');
  await fill(page, 'Counts at the reverse torque', countsAt('reverse', -1));
  await fill(page, 'Label', label);
  await fill(page, /^Uncertainty/, '0.2 %');
  await fill(page, /^Why it replaces/, 'In a test');
  await page.getByRole('button', { name: /^Save/ }).click();
  await page.getByRole('heading', { name: label }).waitFor();
}

/** After a pull the transducer swings for seconds, and a zero that was read meanwhile has to be read again. */
async function untilStill(page: Page): Promise<void> {
  const reading = page.locator('.calibrate-live-value');
  const torqueNm = async (): Promise<number> =>
    Number.parseFloat((await reading.innerText()).replace('−', '-').replaceAll(/[^\d.-]/g, ''));
  await expect
    .poll(
      async () => {
        const looks: number[] = [];
        for (let look = 0; look < 5; look += 1) {
          looks.push(await torqueNm());
          await page.waitForTimeout(300);
        }
        return Math.max(...looks) - Math.min(...looks);
      },
      { timeout: 60_000 },
    )
    .toBeLessThanOrEqual(0.2);
}

/** Zero, load, verdict, with the one key that the one button needs; the simulated hands take a click each. */
async function check(page: Page): Promise<void> {
  // The button takes the focus itself, on a busy machine a moment after it stands there; a key before that goes nowhere.
  await page.locator('button:focus', { hasText: 'Read the zero' }).waitFor();
  await untilStill(page);
  await page.keyboard.press('Space');
  await page.getByText('Hang 40').waitFor();
  await page.getByRole('button', { name: 'Hang it on the simulated bench' }).click();
  const judge = page.getByRole('button', { name: /^Read it.* judge$/ });
  const verdict = page.getByRole('heading', { name: /^(Passed|Failed)$/ });
  await judge.waitFor();
  // A reading that still swings is refused, and asked for again as a person would.
  await expect
    .poll(
      async () => {
        if (await judge.isEnabled({ timeout: 100 }).catch(() => false)) {
          await judge.focus();
          await page.keyboard.press('Space');
        }
        return verdict.isVisible();
      },
      { timeout: 60_000, interval: 1500 },
    )
    .toBe(true);
}

/** What hung there swings for some seconds, and the bench refuses to start on that; how many depends on the machine. */
async function startOnceStill(page: Page): Promise<void> {
  const start = page.getByRole('button', { name: /^Start/ });
  await expect
    .poll(
      async () => {
        if (await start.isVisible()) await page.keyboard.press('Space');
        return page.getByText('Get ready').isVisible();
      },
      { timeout: 60_000, interval: 500 },
    )
    .toBe(true);
}

describe('a daily check in the window', () => {
  it('passes on a bench that reads right, fails on one that does not, and what it makes suspect is decided', async () => {
    const { page, complaints } = await openPage(running.browser, running.program.url);
    await page.getByRole('button', { name: 'Try it on the simulated bench' }).click();
    await page.getByRole('button', { name: /^Start/ }).waitFor();
    await openWay(page, 'Weights, arms and places');
    await page.getByRole('button', { name: 'Put in demo weights' }).click();
    await page.getByText('Workshop (demo)').first().waitFor();

    await calibrateByHand(page, 'True (demo)', 1);
    await openWay(page, 'Daily check');
    await page.getByText('20 kg A (demo)').click();
    await page.getByText('20 kg B (demo)').click();
    await page.getByRole('button', { name: /Arm$/ }).click();
    await page.getByRole('option', { name: /^Long arm/ }).click();
    // What it makes is known before anybody lifts a weight.
    await page.getByText('Should read').waitFor();
    await page.getByRole('button', { name: 'Check with this' }).click();
    await check(page);
    await page.getByRole('heading', { name: 'Passed', exact: true }).waitFor();
    expect(
      await page
        .getByRole('heading', { name: 'Passed', exact: true })
        .evaluate((head) => head.matches(':focus')),
    ).toBe(true);
    await page.getByText('Calibration True (demo), check passed').waitFor();

    await page.getByRole('button', { name: 'Take it off the simulated bench' }).click();
    await calibrateByHand(page, 'One percent off (demo)', 1.01);
    await openPlace(page, 'Bench');
    await startOnceStill(page);
    await page.getByText('Quality:').waitFor();

    // The means of the last check are offered again, so that nothing has to be chosen.
    await openWay(page, 'Daily check');
    await check(page);
    await page.getByRole('heading', { name: 'Failed', exact: true }).waitFor();
    const alarm = page.getByRole('alert').filter({ hasText: 'Fault' });
    await alarm.getByText('1 trial is suspect until somebody decides').waitFor();

    await page.reload();
    await page.getByRole('heading', { name: /^What the failed check of .* means$/ }).waitFor();
    await page.getByText('1 trial carries its mark').waitFor();
    await page.getByRole('link', { name: 'Show them in the Logbook' }).click();
    await page.getByText('1 suspect trial').waitFor();
    await page.getByRole('heading', { name: /^Under the failed check of / }).waitFor();
    await page.getByRole('row').filter({ hasText: 'Suspect' }).click();
    await page.getByRole('heading', { name: 'Failed daily check' }).waitFor();
    await page.getByRole('button', { name: 'Leave it out' }).click();
    await page.getByText('The bench read wrong by more than the trials can bear').click();
    await page.getByRole('button', { name: 'Leave it out: this trial' }).click();
    await page.getByText('Excluded.').waitFor();
    await page.goBack();
    await page.getByText('Nothing matches').waitFor();
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('leads from a trial to another calibration, first as a what-if, and keeps both in its trail', async () => {
    const { page, complaints } = await openPage(running.browser, running.program.url);
    await openPlace(page, 'Logbook');
    await page.getByRole('row').nth(1).click();
    await page.getByRole('link', { name: 'Reassign to another calibration' }).click();
    await page.getByRole('button', { name: /Read it by/ }).click();
    await page.getByRole('option', { name: /^True/ }).click();
    await page.getByRole('heading', { name: /from “One percent off \(demo\)” to “True \(demo\)”/ }).waitFor();
    await page.getByText(/^Forward: the other reads up to .* less/).waitFor();
    await fill(page, /^Why it is reassigned/, 'The certificate was mistyped');
    await page.getByRole('button', { name: 'Reassign this trial' }).click();
    await page.getByText('1 trial is read by “True (demo)” now').waitFor();
    await page.getByRole('link', { name: 'Go back' }).click();
    await page
      .getByText('Reassigned to the calibration “True (demo)”: The certificate was mistyped.')
      .waitFor();
    await page.getByText('Reassigned, read by “True (demo)”').waitFor();
    expect(complaints).toEqual([]);
    await page.close();
  });
});
