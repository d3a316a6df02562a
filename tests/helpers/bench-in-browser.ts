import type { Locator, Page } from 'playwright-core';
import type { AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { DEBOUNCE_MS } from '../../renderer/bench/press-rules.ts';
import { simulatedCalibration } from '../../shared-lib/simulation/simulated-transducer.ts';
import { untilAtRest, type RunningPtyAmplifier } from './running-pty-amplifier.ts';

async function fill(page: Page, label: string, value: string): Promise<void> {
  await page.getByRole('textbox', { name: label, exact: true }).fill(value);
  await page.keyboard.press('Tab');
}

/** No quicker than a person: a click right after another would be taken for its bounce. */
async function pressPrimary(page: Page, name: string): Promise<void> {
  const button = page.getByRole('button', { name });
  await button.waitFor();
  await page.waitForTimeout(2 * DEBOUNCE_MS);
  await button.click();
}

/** Setup and Calibrate as a person goes through them for a new amplifier. */
export async function setUpBench(
  page: Page,
  amplifier: RunningPtyAmplifier,
  profile: AmplifierProfile,
  rateHz: number,
) {
  await page.getByRole('link', { name: 'Setup', exact: true }).first().click();
  await page.getByRole('button', { name: 'Look for ports again' }).waitFor();
  const path = page.getByRole('textbox', { name: 'Path of the port' });
  const anotherPort = page.getByText('Another port');
  await path.or(anotherPort).first().waitFor();
  if (!(await path.isVisible())) await anotherPort.click();
  await fill(page, 'Path of the port', amplifier.path);
  await page.getByRole('button', { name: /What a line holds/ }).click();
  await page.getByRole('option', { name: profile.name, exact: true }).click();
  await fill(page, 'Baud rate', '921600');
  await fill(page, 'Nominal rate', String(rateHz));
  await page.getByRole('button', { name: 'Connect this amplifier' }).click();
  await page.getByRole('button', { name: 'Connect again with these' }).waitFor();
  await fill(page, 'Transducer capacity', '1500 N·m');
  await fill(page, 'Rig limit', '1450');
  await page.getByText('releases by itself').click();

  await page.getByRole('link', { name: 'Calibrate', exact: true }).first().click();
  await page.getByRole('link', { name: 'Calibrate by hand' }).click();
  await page.getByText('Known torque, known counts').click();
  const zeroCounts = amplifier.simulated?.bench.truth.zeroCounts ?? 0;
  const countsAt = (sense: 'forward' | 'reverse'): string => {
    const sign = sense === 'forward' ? 1 : -1;
    return String(Math.round(zeroCounts + (sign * 1500) / simulatedCalibration[sense].gainNmPerCount));
  };
  await fill(page, 'Counts without load', String(Math.round(zeroCounts)));
  await fill(page, 'Forward torque', '1500 N·m');
  await fill(page, 'Counts at the forward torque', countsAt('forward'));
  await fill(page, 'Reverse torque', '1500 N·m');
  await fill(page, 'Counts at the reverse torque', countsAt('reverse'));
  await fill(page, 'Label', 'From the certificate');
  await page.getByRole('button', { name: /^Save/ }).click();
  await page.getByRole('heading', { name: 'From the certificate' }).waitFor();
}

/** The way from a connected bench to the first trial: safety list, zero, guided push, and rest after it. */
export async function makeReady(page: Page, amplifier: RunningPtyAmplifier): Promise<void> {
  await page.getByRole('link', { name: 'Bench', exact: true }).first().click();
  await pressPrimary(page, 'Open the safety list');
  await page.getByRole('button', { name: 'All of this is so' }).click();
  await pressPrimary(page, 'Take zero');
  await pressPrimary(page, 'Check the sense');
  await page.getByRole('button', { name: 'I am ready to push' }).click();
  await page.getByText('Watching: push clockwise now.').waitFor();
  amplifier.simulated?.bench.push(80, 1);
  await page.getByRole('button', { name: /^Start/ }).waitFor();
  await untilAtRest(amplifier);
}

/**
 * Waits for the figures of the trial in sight. A busy machine writes late, then rate, silence or end need a look: an operator keeps
 * such a trial, by one press once the half second is over in which a press meant to stop the run is ignored.
 */
export async function keepWhenAsked(page: Page, figures: Locator): Promise<void> {
  const keep = page
    .getByRole('button', { name: /^Keep/ })
    .or(page.getByRole('group', { name: 'Keep it, since' }).getByRole('button'));
  await figures.or(keep).first().waitFor();
  if (!(await figures.isVisible())) {
    await page.waitForTimeout(600);
    await keep.first().click();
  }
  await figures.waitFor();
}
