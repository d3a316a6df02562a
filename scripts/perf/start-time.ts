import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { join } from 'node:path';
import type { BrowserContext, Page } from 'playwright-core';
import { freePort } from '../../tests/helpers/free-port.ts';
import { startProgram } from '../../tests/helpers/running-program.ts';
import { buildStaleParts } from '../build-parts.mjs';
import type { Figure } from '../measured-figures.ts';
import { openChromiumOn } from './chromium.ts';
import { inFolderOfItsOwn } from './folder-of-its-own.ts';
import type { PassingMeasurement, PerfRun } from './perf-run.ts';
import { medianOf, medianRatioOf, roundToDigits, spreadOf } from './statistics.ts';

const ROUNDS = 3;
/** A browser keeps compiled code of a page only once it has met it a few times. */
const ROUNDS_BEFORE = 3;
/** The first page of a browser that has just been started is another measurement. */
const UNCOUNTED_ROUNDS = 1;
const MOST_WINDOW_MS = 250;
const MOST_SERVICES_MS = 250;

interface StartRound {
  readonly emptyPageMs: number;
  readonly bareNodeMs: number;
  readonly servicesMs: number;
  readonly windowMs: number;
}

/**
 * P6: from the start of the entry process to the address, and to a Bench whose primary control is there.
 *
 * Data folder, port and browser profile are the same in each round, as they are for somebody who starts the program every
 * day, so the browser has the page's files and compiled code from before.
 */
export async function prepareStart({ say }: PerfRun): Promise<PassingMeasurement> {
  await buildStaleParts(say);
  return inFolderOfItsOwn(async (folder) => {
    const port = await freePort();
    await measureRounds(folder, port, ROUNDS_BEFORE);
    const rounds: StartRound[] = [];
    return {
      async pass() {
        const all = await measureRounds(folder, port, UNCOUNTED_ROUNDS + ROUNDS);
        rounds.push(...all.slice(UNCOUNTED_ROUNDS));
      },
      figures: () => figuresOf(rounds),
    };
  });
}

async function measureRounds(folder: string, port: number, count: number): Promise<StartRound[]> {
  const context = await openChromiumOn(join(folder, 'window-profile'));
  const rounds: StartRound[] = [];
  try {
    for (let round = 0; round < count; round += 1) {
      const emptyPageMs = await openEmptyPage(context);
      const bareNodeMs = await startBareNode();
      rounds.push({ emptyPageMs, bareNodeMs, ...(await startToWindow(context, folder, port)) });
    }
  } finally {
    await context.close();
  }
  return rounds;
}

function figuresOf(rounds: readonly StartRound[]): Record<string, Figure> {
  const empty = rounds.map((round) => round.emptyPageMs);
  const bareNode = rounds.map((round) => round.bareNodeMs);
  const windowMs = medianOf(rounds.map((round) => round.windowMs));
  const services = rounds.map((round) => round.servicesMs);
  const servicesMs = medianOf(services);
  const more = rounds.map((round) => round.windowMs - round.emptyPageMs);
  const moreMs = medianOf(more);
  return {
    'P6.window': {
      value: Math.round(moreMs),
      unit: 'ms more than an empty page',
      baseline: Math.round(medianOf(empty)),
      ratio: roundToDigits(medianRatioOf(more, empty)),
      limit: MOST_WINDOW_MS,
      met: moreMs <= MOST_WINDOW_MS,
      note:
        `Median of ${rounds.length} rounds, the two in turn: ${Math.round(windowMs)} ms from the start of "node scripts/start.mjs" with the simulated bench to a frame of the Bench with its primary control, ` +
        `in a new page that is opened once the address is printed. Baseline: ms to the first frame of about:blank in a new page of the same browser.`,
      spread: spreadOf(more, 0),
    },
    'P6.services': {
      value: Math.round(servicesMs),
      unit: 'ms to the printed address',
      baseline: Math.round(medianOf(bareNode)),
      ratio: roundToDigits(medianRatioOf(services, bareNode)),
      limit: MOST_SERVICES_MS,
      met: servicesMs <= MOST_SERVICES_MS,
      note: `Median of ${rounds.length} starts on a data folder that is there. Baseline: ms until a Node that does nothing else has printed a line.`,
      spread: spreadOf(services, 0),
    },
  };
}

/** On the clock of `Date.now`, which pages and processes of one machine share. */
function epochMs(): number {
  return performance.timeOrigin + performance.now();
}

async function openEmptyPage(context: BrowserContext): Promise<number> {
  const startedMs = epochMs();
  const page = await context.newPage();
  await page.goto('about:blank');
  const readyMs = await frameWith(page, 'html');
  await page.close();
  return readyMs - startedMs;
}

/** When the first frame with such an element had been made. */
async function frameWith(page: Page, selector: string): Promise<number> {
  const found = await page.waitForFunction(
    (wanted) => document.querySelector(wanted) !== null && performance.timeOrigin + performance.now(),
    selector,
    { polling: 'raf' },
  );
  return Number(await found.jsonValue());
}

async function startBareNode(): Promise<number> {
  const startedMs = epochMs();
  const child = spawn(process.execPath, ['-e', 'console.log(1)'], { stdio: ['ignore', 'pipe', 'inherit'] });
  const exited = once(child, 'exit');
  await once(child.stdout, 'data');
  const readyMs = epochMs();
  await exited;
  return readyMs - startedMs;
}

async function startToWindow(
  context: BrowserContext,
  dataFolder: string,
  port: number,
): Promise<{ servicesMs: number; windowMs: number }> {
  const startedMs = epochMs();
  const program = await startProgram(dataFolder, ['--simulated'], { port });
  const servicesMs = epochMs() - startedMs;
  const page = await context.newPage();
  await page.goto(program.url, { waitUntil: 'commit' });
  const windowMs = (await frameWith(page, '.primary-control button')) - startedMs;
  await page.close();
  await program.end();
  return { servicesMs, windowMs };
}
