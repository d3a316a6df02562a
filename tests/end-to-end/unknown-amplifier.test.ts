import { describe, expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import { readyMadeProfiles, type AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { startPtyAmplifier, untilAtRest, untilMoreLines } from '../helpers/running-pty-amplifier.ts';
import { useProgramInBrowser } from '../helpers/program-in-browser.ts';
import { openPage } from '../helpers/browser-page.ts';

/** Journey J2: from an open program to live raw counts of an amplifier of which nothing is known. */
const MOST_ACTIONS = 8;
const RATE_HZ = 320;

const [, sequenceCounts] = readyMadeProfiles as [AmplifierProfile, AmplifierProfile];

/** No ready-made profile reads this: semicolons, a constant between, hexadecimal counts of 24 bits. */
const unknownForm: AmplifierProfile = {
  ...sequenceCounts,
  id: 'unknown',
  name: 'unknown',
  separator: ';',
  lineEnding: '\r\n',
  countsField: 2,
  countsForm: { numeral: 'hex', bits: 24 },
  sequence: { field: 0, modulus: 65_536, numeral: 'decimal' },
};

const running = useProgramInBrowser();

/** Counts clicks and field entries as a person makes them. */
function countActions(page: Page) {
  let count = 0;
  return {
    click: async (name: string | RegExp) => {
      count += 1;
      await page.getByRole('button', { name }).or(page.getByRole('link', { name })).first().click();
    },
    clickText: async (text: string) => {
      count += 1;
      await page.getByText(text).click();
    },
    fill: async (label: string, value: string) => {
      count += 1;
      await page.getByRole('textbox', { name: label, exact: true }).fill(value);
    },
    total: () => count,
  };
}

describe('an amplifier of which nothing is known', () => {
  it('shows live counts after a few actions, is kept in the list, and its profile is kept too', async () => {
    const { page, complaints } = await openPage(running.browser, running.program.url);
    const actions = countActions(page);
    await actions.click('Setup');
    await page.getByRole('button', { name: 'Look for ports again' }).waitFor();
    // The reader process runs by now and cannot inherit the device's end.
    const amplifier = startPtyAmplifier({
      profile: unknownForm,
      rateHz: RATE_HZ,
      bench: { seed: 12 },
      whenFull: 'drop',
    });
    try {
      const path = page.getByRole('textbox', { name: 'Path of the port' });
      await path.or(page.getByText('Another port')).first().waitFor();
      if (!(await path.isVisible())) await actions.clickText('Another port');
      await actions.fill('Path of the port', amplifier.path);
      await actions.click('Listen: I do not know its lines');

      // Raw lines stand there as they came, and the best proposal names the right fields.
      await page
        .getByRole('log')
        .getByText(/^\d+;0;[0-9A-F]{6}$/)
        .first()
        .waitFor();
      const best = page.getByRole('region', { name: 'Best way to read the lines' });
      await best.getByText(/^Field 1 sequence number.*field 3 counts \(hexadecimal, 24 bits\)/).waitFor();

      // The hand on the arm: the field of the counts is the one that moves.
      await untilMoreLines(amplifier, 2 * RATE_HZ);
      amplifier.simulated?.bench.push(150, 1);
      const countsRow = page.getByRole('row').filter({ hasText: 'counts' }).last();
      await countsRow.getByText('moves', { exact: true }).waitFor();

      await actions.click(/^Use this/);
      await page.getByText('connected, lines are coming in').waitFor();
      const reading = page.getByText('Reading now').locator('xpath=following-sibling::dd');
      await expect.poll(() => reading.innerText()).toMatch(/^[−\d\s]+counts$/);
      expect(actions.total()).toBeLessThanOrEqual(MOST_ACTIONS);

      // The simulated transducer is at rest again: what is shown is what the device sends, to a few hundred counts of noise.
      await untilAtRest(amplifier);
      const shownError = async (): Promise<number> => {
        const shown = Number((await reading.innerText()).replace('−', '-').replaceAll(/[^\d-]/g, ''));
        return Math.abs(shown - (amplifier.written.counts.at(-1) ?? NaN));
      };
      await expect.poll(shownError).toBeLessThan(1000);

      await page.getByRole('button', { name: /^Disconnect Amplifier/ }).waitFor();
      await page.getByRole('list', { name: 'Own profiles' }).getByText('own: sequence, counts').waitFor();
      expect(complaints).toEqual([]);
    } finally {
      amplifier.close();
    }
  });
});
