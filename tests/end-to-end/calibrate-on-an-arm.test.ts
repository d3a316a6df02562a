import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Browser, Page } from 'playwright-core';
import { readyMadeProfiles, type AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { appliedTorque } from '../../shared-lib/calibration/applied-torque.ts';
import { planRun } from '../../shared-lib/calibration/plan-run.ts';
import { signedTorqueNm } from '../../shared-lib/calibration/run-scale.ts';
import type { RunSetup } from '../../shared-lib/calibration/run-model.ts';
import { INERT_AFTER_END_MS } from '../../renderer/bench/press-rules.ts';
import { countUserActions } from '../helpers/count-user-actions.ts';
import { startPtyAmplifier, type RunningPtyAmplifier } from '../helpers/running-pty-amplifier.ts';
import { demoSetup } from '../helpers/run-setups.ts';
import { openBrowser, openPage } from '../helpers/browser-page.ts';
import { startProgram, type RunningProgram } from '../helpers/running-program.ts';
import { makeDataFolder, startRealServices } from '../helpers/running-services.ts';

const RATE_HZ = 500;
const LEVELS = 6;
const profile = {
  ...(readyMadeProfiles.find(({ checksum }) => checksum === 'xor') as AmplifierProfile),
  nominalRateHz: RATE_HZ,
};
const standards = demoSetup(LEVELS);

let folder: ReturnType<typeof makeDataFolder>;
let amplifier: RunningPtyAmplifier;
let program: RunningProgram;
let browser: Browser;

/** A bench that was set up before: the amplifier is known, weights, arm and place are on the lists. */
beforeAll(async () => {
  folder = makeDataFolder();
  const bench = await startRealServices(folder.path);
  await bench.handlers.listPorts({});
  amplifier = startPtyAmplifier({ profile, rateHz: RATE_HZ, bench: { seed: 11, weights: {} } });
  await bench.handlers.connectAmplifier({
    path: amplifier.path,
    profileId: profile.id,
    baudRate: 921_600,
    nominalRateHz: RATE_HZ,
    converterBits: 24,
  });
  await bench.until('samples', ({ amplifier: { counters } }) => counters.samples > RATE_HZ / 2);
  for (const weight of standards.levels.at(-1) ?? []) {
    await bench.handlers.saveStandard({ standard: { kind: 'weight', weight } });
  }
  await bench.handlers.saveStandard({ standard: { kind: 'arm', arm: standards.arm } });
  await bench.handlers.saveStandard({ standard: { kind: 'site', site: standards.site } });
  await bench.close();
  program = await startProgram(folder.path);
  browser = await openBrowser();
});
afterAll(async () => {
  await browser.close();
  await program.end();
  amplifier.close();
  folder.remove();
});

async function openNewRun(page: Page): Promise<void> {
  await page.getByRole('link', { name: 'Calibrate', exact: true }).first().click();
  await page.getByRole('link', { name: 'Guided calibration', exact: true }).click();
  await page.getByRole('button', { name: 'Start hanging weights' }).waitFor();
}

async function choose(page: Page, choice: string): Promise<void> {
  await page
    .locator('label')
    .filter({ hasText: new RegExp(`^${choice}`) })
    .click();
}

async function fill(page: Page, label: string, value: string): Promise<void> {
  await page.getByRole('textbox', { name: label }).fill(value);
  await page.keyboard.press('Tab');
}

function readingsOf(setup: RunSetup) {
  const levelsNm = setup.levels.map(
    (weights) => appliedTorque({ weights, arm: setup.arm, site: setup.site, way: setup.way }).torqueNm,
  );
  return planRun(setup, { arm: levelsNm, shortArm: [] });
}

/** Until this reading is asked for, or a later one: a load that stays is read at once, and a busy page may not show it. */
async function untilAsked(page: Page, number: number): Promise<void> {
  await page.waitForFunction(
    (wanted) => {
      const shown = /Reading (\d+) of/.exec(document.body.innerText)?.[1];
      return shown !== undefined && Number(shown) >= wanted;
    },
    number,
    { timeout: 60_000 },
  );
}

/** As somebody does whose hands carry weights: hangs what is asked for and waits until it is taken. */
async function hangEverything(page: Page, setup: RunSetup): Promise<void> {
  const readings = readingsOf(setup);
  for (const reading of readings) {
    await untilAsked(page, reading.index + 1);
    if (reading.handling !== null) {
      amplifier.simulated?.bench.hang(0);
      await page.getByRole('button', { name: 'Done, go on' }).waitFor();
      // A press so soon after a reading was taken is one for that reading.
      await page.waitForTimeout(INERT_AFTER_END_MS + 100);
      await page.keyboard.press('Space');
    }
    amplifier.simulated?.bench.hang(signedTorqueNm(reading));
  }
  await page.getByText(`All ${readings.length} readings are taken`).waitFor();
  amplifier.simulated?.bench.hang(0);
}

describe('calibrating with weights on an arm, over a real serial device', () => {
  it('takes one action to start, none for six weights up and down, and at most two to accept', async () => {
    const { page, complaints } = await openPage(browser, program.url);
    await openNewRun(page);
    // What was set up once is offered again; here for the first time.
    await choose(page, 'Quick');
    await choose(page, 'Forward alone');
    await fill(page, 'Exercises before the first series', '0');
    await fill(page, 'Dwell', '0.5 s');
    await page.reload();
    const start = page.getByRole('button', { name: 'Start hanging weights' });
    await start.waitFor();
    await page.getByText('13, about').waitFor();

    const actions = await countUserActions(page);
    await start.click();
    await hangEverything(page, demoSetup(LEVELS));
    expect(await actions.total()).toBe(1);
    const accept = page.getByRole('button', { name: 'Accept this calibration and use it' });
    await accept.click();
    await page.getByText(/is saved and in use/).waitFor();
    expect(await actions.total()).toBeLessThanOrEqual(3);
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('leads through both senses and three mountings to a report with a class, an uncertainty and what limits it', async () => {
    const { page, complaints } = await openPage(browser, program.url);
    await openNewRun(page);
    await choose(page, 'Full');
    await choose(page, 'Forward, then reverse');
    await fill(page, 'Exercises before the first series', '1');
    await fill(page, 'Dwell', '0.5 s');
    // Three of the six levels are enough here.
    for (const level of [6, 4, 2]) await page.getByRole('button', { name: `Remove level ${level}` }).click();
    const setup = demoSetup(LEVELS, {
      series: 'full',
      senses: ['forward', 'reverse'],
      exercises: 1,
      levels: standards.levels.filter((_, index) => index % 2 === 0),
    });
    await page.getByText(`${readingsOf(setup).length}, about`).waitFor();
    await page.getByRole('button', { name: 'Start hanging weights' }).click();
    await hangEverything(page, setup);

    await page.getByText('Class limits as remembered').first().waitFor();
    await page
      .getByText(/Static calibration; dynamic error not included/)
      .first()
      .waitFor();
    await choose(page, 'Regular new calibration');
    await page.getByRole('button', { name: 'Accept this calibration and use it' }).click();
    await page.getByText(/is saved and in use/).waitFor();
    expect(complaints).toEqual([]);
    await page.close();
  });
});
