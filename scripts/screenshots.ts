import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { chromium, type Locator, type Page } from 'playwright-core';
import { readyMadeProfiles, type AmplifierProfile } from '../shared-lib/amplifier/amplifier-profile.ts';
import { createSimulatedLines } from '../shared-lib/simulation/simulated-lines.ts';
import { simulatedCalibration, simulatedTransducer } from '../shared-lib/simulation/simulated-transducer.ts';
import { startLoopbackHost } from '../main/hosts/loopback/loopback-main.ts';
import { PtyAmplifier } from '../main/simulation/pty-amplifier.ts';
import { buildStaleParts } from './build-parts.mjs';
import { findTestBrowser, sandboxArguments } from './find-browser.mjs';
import { makeDemo } from './make-demo.ts';
import { photographCalibration } from './screenshots/calibration-screens.ts';
import { photographDesk } from './screenshots/desk-screens.ts';
import { photographPublished, photographShare } from './screenshots/share-screens.ts';
import { fill, folder, openPlace, photograph } from './screenshots/photograph.ts';

/**
 * Pictures of every screen, light and dark, in two sizes, and of what is published, made from the real program on invented data.
 * Names make only those: `npm run screenshots -- share published`.
 */
const parts = ['bench', 'desk', 'share', 'published'] as const;
const named = process.argv.slice(2);
const unknown = named.filter((name) => !parts.some((part) => part === name));
if (unknown.length > 0)
  throw new Error(`There is no part ${unknown.join(', ')}; there are ${parts.join(', ')}.`);

function isWanted(part: (typeof parts)[number]): boolean {
  return named.length === 0 || named.includes(part);
}

async function runTrial(page: Page): Promise<void> {
  await page.keyboard.press('Space');
  await page.getByText('Get ready').waitFor();
  await page.getByText('Quality:').first().waitFor({ timeout: 40_000 });
  await wait(500);
}

/** Where kind, direction and time of the next run are chosen; the times stand elsewhere too. */
function nextRun(page: Page): Locator {
  return page.getByRole('group', { name: 'Next run' });
}

/** From the first start to a Logbook with a few trials, on the simulated bench. */
async function photographSimulatedBench(page: Page): Promise<void> {
  await photograph(page, 'bench-first-start');
  await openPlace(page, 'Logbook');
  await photograph(page, 'logbook-empty');
  await openPlace(page, 'Bench');
  await page.getByRole('button', { name: 'Try it on the simulated bench' }).click();
  await page.getByRole('button', { name: /^Start/ }).waitFor();
  await wait(3000);
  await photograph(page, 'bench-idle');
  await runTrial(page);
  await fill(page, 'Tool', 'Tarnwick T6 (demo)');
  await nextRun(page).getByText('10 s', { exact: true }).click();
  await wait(500);
  await page.getByRole('button', { name: /^(Start|Repeat)/ }).focus();
  await page.keyboard.press('Space');
  await page.getByText('Get ready').waitFor();
  await photograph(page, 'bench-armed');
  await page.getByText('Keep pulling').waitFor();
  await wait(4000);
  await photograph(page, 'bench-live');
  await page.getByText('Quality:').first().waitFor({ timeout: 30_000 });
  await wait(800);
  await photograph(page, 'bench-result');
  await page.getByText('Reverse', { exact: true }).click();
  await nextRun(page).getByText('5 s', { exact: true }).click();
  await wait(500);
  await page.getByRole('button', { name: /^(Start|Repeat)/ }).focus();
  await runTrial(page);
  await photograph(page, 'bench-result-reverse');

  await openPlace(page, 'Logbook');
  await photograph(page, 'logbook');
  await page.getByRole('row').filter({ hasText: 'Tarnwick' }).first().click();
  await page.getByText('Final torque', { exact: true }).first().waitFor();
  await wait(800);
  await photograph(page, 'trial');
  await openPlace(page, 'Setup');
  await photograph(page, 'setup');
  await photographCalibration(page, () => runTrial(page));
}

/** An amplifier of which nothing is known: listened to, and its proposed profile in the editor. */
async function photographListening(page: Page): Promise<void> {
  const [, known] = readyMadeProfiles;
  if (!known) throw new Error('There is no profile');
  const profile: AmplifierProfile = { ...known, separator: ';', countsForm: { numeral: 'hex', bits: 24 } };
  const amplifier = new PtyAmplifier({
    source: createSimulatedLines({ seed: 4, sampleRateHz: 320 }, profile),
    rateHz: 320,
    whenFull: 'drop',
  });
  try {
    await choosePort(page, amplifier.path);
    await page.getByRole('button', { name: /^Listen/ }).click();
    await page.getByRole('button', { name: 'Use this' }).first().waitFor();
    await wait(3000);
    await photograph(page, 'setup-listening');
    await page.getByRole('button', { name: 'Adjust' }).first().click();
    await wait(800);
    await photograph(page, 'setup-profile-editor');
    await page.getByRole('button', { name: 'Leave without saving' }).click();
    await page.getByRole('button', { name: 'Stop listening' }).click();
    await page.getByRole('button', { name: 'Connect this amplifier' }).waitFor();
  } finally {
    amplifier.close();
  }
}

async function choosePort(page: Page, portPath: string): Promise<void> {
  const path = page.getByRole('textbox', { name: 'Path of the port' });
  const anotherPort = page.getByText('Another port');
  await path.or(anotherPort).first().waitFor();
  if (!(await path.isVisible())) await anotherPort.click();
  await fill(page, 'Path of the port', portPath);
}

/** A real serial port that is set up, calibrated, and unplugged in mid-run. */
async function photographRealBench(page: Page): Promise<void> {
  await openPlace(page, 'Setup');
  await photographListening(page);
  const [, , profile] = readyMadeProfiles;
  if (!profile) throw new Error('There is no profile');
  // Opened only now: the reader process, started by the list of ports, must not inherit the device's end.
  const lines = createSimulatedLines({ seed: 3, sampleRateHz: 1000 }, profile);
  const amplifier = new PtyAmplifier({ source: lines, rateHz: 1000, whenFull: 'drop' });
  try {
    await choosePort(page, amplifier.path);
    await page.getByRole('button', { name: /What a line holds/ }).click();
    await page.getByRole('option', { name: profile.name, exact: true }).click();
    await fill(page, 'Nominal rate', '1000');
    await page.getByRole('button', { name: 'Connect this amplifier' }).click();
    await page.getByRole('button', { name: 'Connect again with these' }).waitFor();
    await wait(2500);
    await photograph(page, 'setup-connected');
    await fill(page, 'Transducer capacity', `${simulatedTransducer.capacityNm} N·m`);
    await fill(page, 'Rig limit', `${simulatedTransducer.rigLimitNm} N·m`);
    await page.getByText('releases by itself').click();
    await wait(500);

    await openPlace(page, 'Bench');
    await photograph(page, 'bench-counts-only');
    await openPlace(page, 'Calibrate');
    await page.getByRole('link', { name: 'Calibrate by hand' }).click();
    await page.getByText('Known torque, known counts').click();
    const { zeroCounts } = lines.bench.truth;
    const gain = simulatedCalibration.forward.gainNmPerCount;
    await fill(page, 'Counts without load', String(Math.round(zeroCounts)));
    await fill(page, 'Forward torque', '1000 N·m');
    await fill(page, 'Counts at the forward torque', String(Math.round(zeroCounts + 1000 / gain)));
    await wait(600);
    await photograph(page, 'calibrate-direct');
    await fill(page, 'Label', 'From the certificate');
    await page.getByRole('button', { name: /^Save/ }).click();
    await page.getByRole('heading', { name: 'From the certificate' }).waitFor();

    await openPlace(page, 'Bench');
    await page.getByText('Forward', { exact: true }).click();
    await page.getByRole('button', { name: 'Open the safety list' }).click();
    await photograph(page, 'bench-safety');
    await page.getByRole('button', { name: 'All of this is so' }).click();
    await page.getByRole('button', { name: 'Take zero' }).click();
    await page.getByRole('button', { name: 'Check the sense' }).click();
    await page.getByRole('button', { name: 'I am ready to push' }).click();
    await page.getByText('Watching: push clockwise now.').waitFor();
    lines.bench.push(80, 1);
    await page.getByRole('button', { name: /^Start/ }).waitFor();
    await wait(3000);
    await page.getByRole('button', { name: /^Start/ }).focus();
    await page.keyboard.press('Space');
    await page.getByText('Pull the trigger').waitFor({ timeout: 10_000 });
    lines.bench.pull({ direction: 'forward', triggerS: 8, delayS: 0.1 });
    await page.getByText('Keep pulling').waitFor();
    await wait(2500);
    amplifier.unplug();
    await wait(1500);
    await photograph(page, 'bench-fault');
  } finally {
    amplifier.close();
  }
}

mkdirSync(folder, { recursive: true });
await buildStaleParts((line) => {
  console.log(line);
});
const executablePath = await findTestBrowser();
if (executablePath === null) throw new Error('There is no Chromium-family browser; "npm test" gets one.');
const dataFolder = mkdtempSync(join(tmpdir(), 'proofarm-screenshots-'));
const browser = await chromium.launch({ executablePath, args: sandboxArguments() });
try {
  if (isWanted('bench')) {
    await onBenchIn(join(dataFolder, 'bench'), async (page) => {
      await photographSimulatedBench(page);
      await photographRealBench(page);
    });
  }
  if (isWanted('desk') || isWanted('share') || isWanted('published')) {
    const demoFolder = join(dataFolder, 'demo');
    if ((await makeDemo(['--data', demoFolder])) !== 0) throw new Error('The demo workshop was not made');
    await onBenchIn(demoFolder, async (page, origin) => {
      if (isWanted('desk')) await photographDesk(page, origin);
      if (isWanted('share')) await photographShare(page, origin);
    });
    if (isWanted('published')) await photographPublished(browser, demoFolder);
  }
} finally {
  await browser.close();
  rmSync(dataFolder, { recursive: true, force: true });
}

async function onBenchIn(
  benchFolder: string,
  work: (page: Page, origin: string) => Promise<void>,
): Promise<void> {
  mkdirSync(benchFolder, { recursive: true });
  const start = await startLoopbackHost({ dataFolder: benchFolder, port: 0, isSimulated: false });
  if (start.kind !== 'started') throw new Error('The program did not start');
  try {
    const page = await browser.newPage({ locale: 'en-GB' });
    page.setDefaultTimeout(20_000);
    await page.goto(start.host.url);
    await wait(800);
    await work(page, start.host.origin);
    await page.close();
  } finally {
    await start.host.close();
  }
}
