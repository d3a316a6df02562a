import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import type { Page } from 'playwright-core';
import { startProgram } from '../../tests/helpers/running-program.ts';
import { open, seedBench } from '../../tests/integration/storage-support/bench-fixture.ts';
import { buildStaleParts } from '../build-parts.mjs';
import type { Figure } from '../measured-figures.ts';
import { openChromium, rendererPidOf } from './chromium.ts';
import { inFolderOfItsOwn } from './folder-of-its-own.ts';
import type { PassingMeasurement, PerfRun } from './perf-run.ts';
import { mainThreadCpuUsOf } from './process-cpu.ts';
import { recordPulls } from './recorded-pulls.ts';
import { medianOf, medianRatioOf, roundTo, roundToDigits, spreadOf } from './statistics.ts';
import { openRawTrial, type RawTrial } from './stored-trial-baseline.ts';

const RATE_HZ = 100_000;
const PULL_S = 13;
const SAMPLES = 1_500_000;
const MOST_FIRST_MS = 120;
const MOST_WARM_MS = 60;
const MOST_STEP_MS = 8;
/** Each is opened for the first time in a program and then again; the first of them is not counted. */
const TRIALS = 4;
const TIMES_AGAIN = 3;
/** One round of looking closer, to both sides and wider again. */
const STEPS = [
  'Closer',
  'Later',
  'Closer',
  'Earlier',
  'Closer',
  'Later',
  'Wider',
  'Earlier',
  'Wider',
  'Later',
  'Whole trial',
];
const STEP_ROUNDS = 3;
/** What has come of a step is over once neither thread has done anything worth mentioning for this long. */
const QUIET_MS = 100;
const MOST_QUIET_CPU_MS = 2;

interface Opening {
  readonly ms: number;
  readonly pageMs: number;
  readonly servicesMs: number;
}

/** P3: a stored trial on the screen of the real program, and looking closer at it, beside uPlot with every raw sample. */
export async function prepareStoredTrial({ say }: PerfRun): Promise<PassingMeasurement> {
  await buildStaleParts(say);
  return inFolderOfItsOwn((folder) => {
    say(`  ${TRIALS} trials of ${SAMPLES} samples`);
    recordTrials(folder);
    const onScreen: OnScreen = { openings: [], steps: [] };
    return {
      async pass() {
        const { openings, steps } = await measureOnScreen(folder);
        onScreen.openings.push(...openings);
        onScreen.steps.push(...steps);
      },
      figures: () => figuresOf(onScreen),
    };
  });
}

/** One trial, opened for the first time and again, and then the same number of raw samples. */
interface OpeningRound {
  readonly first: Opening;
  readonly warm: readonly Opening[];
  readonly rawMs: number;
}

/** Steps of one round, and then as many with every raw sample: processor time of each. */
interface StepRound {
  readonly pageMs: readonly number[];
  readonly servicesMs: readonly number[];
  readonly rawMs: readonly number[];
}

interface OnScreen {
  readonly openings: OpeningRound[];
  readonly steps: StepRound[];
}

async function measureOnScreen(dataFolder: string): Promise<OnScreen> {
  const program = await startProgram(dataFolder);
  const browser = await openChromium();
  try {
    const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    await openLogbook(page, program.url);
    const meters = {
      pagePid: await rendererPidOf(page),
      servicesPid: program.process.pid ?? Number.NaN,
    };
    const raw = await openRawTrial(browser, { sampleRateHz: RATE_HZ, sampleCount: SAMPLES });
    const openings: OpeningRound[] = [];
    for (let row = 0; row < TRIALS; row += 1) {
      const first = await openTrial(page, row, meters);
      const warm: Opening[] = [];
      for (let time = 0; time < TIMES_AGAIN; time += 1) warm.push(await openTrial(page, row, meters));
      const rawMs: number[] = [];
      for (let time = 0; time < TIMES_AGAIN; time += 1) rawMs.push(await raw.open());
      // The first of a process is another measurement.
      if (row > 0) openings.push({ first, warm, rawMs: medianOf(rawMs) });
    }
    const steps = await measureSteps(page, raw, meters);
    await raw.close();
    await page.close();
    return { openings, steps };
  } finally {
    await browser.close();
    await program.end();
  }
}

function recordTrials(folder: string): void {
  const database = open(folder, { filePath: join(folder, 'proofarm.db') });
  const { sampleCount } = recordPulls(database, seedBench(database), {
    sampleRateHz: RATE_HZ,
    count: TRIALS,
    pullS: PULL_S,
    isOnePull: true,
  });
  if (sampleCount !== SAMPLES * TRIALS)
    throw new Error(`${sampleCount} samples are not what is to be measured`);
  database.close();
}

async function openLogbook(page: Page, url: string): Promise<void> {
  await page.goto(url);
  await page.locator('.primary-control, .bench-page, main').first().waitFor();
  await page.getByRole('link', { name: 'Logbook' }).first().click();
  await page.locator('[role=row][aria-rowindex="2"]').waitFor();
  // Places that are fetched when nothing else is to be done.
  await wait(2000);
}

/** Both are looked at from outside: a look by the page's own means would cost more than what is looked for. */
interface Meters {
  readonly pagePid: number;
  readonly servicesPid: number;
}

/** Processor time of both main threads so far. */
function look({ pagePid, servicesPid }: Meters): { readonly pageMs: number; readonly servicesMs: number } {
  return {
    pageMs: mainThreadCpuUsOf(pagePid) / 1000,
    servicesMs: mainThreadCpuUsOf(servicesPid) / 1000,
  };
}

/** Once what was begun is over. */
async function lookWhenQuiet(meters: Meters): Promise<ReturnType<typeof look>> {
  let before = look(meters);
  for (;;) {
    await wait(QUIET_MS);
    const after = look(meters);
    const doneMs = after.pageMs - before.pageMs + after.servicesMs - before.servicesMs;
    if (doneMs < MOST_QUIET_CPU_MS) return after;
    before = after;
  }
}

/** From the click on its row to the frame with its curve; leaves the Logbook in sight again. */
async function openTrial(page: Page, row: number, meters: Meters): Promise<Opening> {
  const before = await lookWhenQuiet(meters);
  const ms = await page.evaluate(
    (index) =>
      new Promise<number>((resolve) => {
        const startedMs = performance.now();
        const lookFor = (): void => {
          const canvas = document.querySelector<HTMLCanvasElement>('.trial-chart-host canvas');
          if (canvas === null || canvas.width === 0) requestAnimationFrame(lookFor);
          else resolve(performance.now() - startedMs);
        };
        document.querySelector<HTMLElement>(`[role=row][aria-rowindex="${index}"]`)?.click();
        requestAnimationFrame(lookFor);
      }),
    row + 2,
  );
  const after = look(meters);
  await lookWhenQuiet(meters);
  await page.getByRole('link', { name: 'Back to the list' }).click();
  await page.locator(`[role=row][aria-rowindex="${row + 2}"]`).waitFor();
  return {
    ms,
    pageMs: after.pageMs - before.pageMs,
    servicesMs: after.servicesMs - before.servicesMs,
  };
}

/** Processor time of each step by the buttons above the curve, all that follows from it included. */
async function measureSteps(page: Page, raw: RawTrial, meters: Meters): Promise<StepRound[]> {
  await page.locator('[role=row][aria-rowindex="2"]').click();
  await page.locator('.trial-chart-host canvas').waitFor();
  const measured: StepRound[] = [];
  for (let round = -1; round < STEP_ROUNDS; round += 1) {
    const [pageMs, servicesMs, rawMs]: [number[], number[], number[]] = [[], [], []];
    for (const name of STEPS) {
      const before = await lookWhenQuiet(meters);
      await page.evaluate((label) => {
        const button = [...document.querySelectorAll('button')].find(
          ({ textContent }) => textContent === label,
        );
        if (button === undefined || button.disabled) throw new Error(`"${label}" cannot be pressed`);
        button.click();
      }, name);
      const after = await lookWhenQuiet(meters);
      pageMs.push(after.pageMs - before.pageMs);
      servicesMs.push(after.servicesMs - before.servicesMs);
    }
    while (rawMs.length < STEPS.length) rawMs.push(await raw.step());
    if (round >= 0) measured.push({ pageMs, servicesMs, rawMs });
  }
  return measured;
}

function figuresOf({ openings, steps }: OnScreen): Record<string, Figure> {
  const rawMs = openings.map((round) => round.rawMs);
  const opening = (rounds: readonly (readonly Opening[])[], limit: number): Figure => {
    const all = rounds.flat();
    const value = medianOf(all.map(({ ms }) => ms));
    const pageMs = medianOf(all.map((one) => one.pageMs));
    const servicesMs = medianOf(all.map((one) => one.servicesMs));
    const roundsMs = rounds.map((round) => medianOf(round.map(({ ms }) => ms)));
    return {
      value: roundTo(value, 1),
      unit: 'ms from the click on a row of the Logbook to the frame with the curve',
      baseline: roundTo(medianOf(rawMs), 1),
      ratio: roundToDigits(medianRatioOf(roundsMs, rawMs)),
      limit,
      met: value <= limit,
      note:
        `Median of ${all.length} openings of trials of ${SAMPLES} samples at ${RATE_HZ} Sa/s, by the clock; processor time of the page's main thread ${roundTo(pageMs, 0)} ms, of the program's ${roundTo(servicesMs, 0)} ms. ` +
        `Baseline, in turn with it: ms in which uPlot 1.6 has the same number of raw samples on screen from a file in memory (median of ${TIMES_AGAIN}).`,
      spread: spreadOf(
        all.map(({ ms }) => ms),
        0,
      ),
    };
  };
  const pageMs = steps.flatMap((round) => round.pageMs);
  const stepMs = medianOf(pageMs);
  return {
    'P3.first': opening(
      openings.map(({ first }) => [first]),
      MOST_FIRST_MS,
    ),
    'P3.warm': opening(
      openings.map(({ warm }) => warm),
      MOST_WARM_MS,
    ),
    'P3.step': {
      value: roundTo(stepMs, 1),
      unit: "ms of the page's main thread per step closer, wider or aside",
      baseline: roundTo(medianOf(steps.flatMap((round) => round.rawMs)), 1),
      ratio: roundToDigits(
        medianRatioOf(
          steps.map((round) => medianOf(round.pageMs)),
          steps.map((round) => medianOf(round.rawMs)),
        ),
      ),
      limit: MOST_STEP_MS,
      met: stepMs <= MOST_STEP_MS,
      note: `Median of ${pageMs.length} steps by the buttons, with everything that follows: request, React, picture, figures of the window. The program's main thread took ${roundTo(medianOf(steps.flatMap((round) => round.servicesMs)), 1)} ms of processor time for one. Baseline, in turn with it: ms per step of uPlot with every raw sample.`,
      spread: spreadOf(pageMs),
    },
  };
}
