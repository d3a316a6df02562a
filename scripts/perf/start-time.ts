import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { join } from 'node:path';
import type { BrowserContext, Page } from 'playwright-core';
import { freePort } from '../../tests/helpers/free-port.ts';
import { startProgram } from '../../tests/helpers/running-program.ts';
import { makeDataFolder } from '../../tests/helpers/running-services.ts';
import { buildStaleParts } from '../build-parts.mjs';
import type { Figure } from '../measured-figures.ts';
import { openChromiumOn } from './chromium.ts';
import type { PerfRun } from './perf-run.ts';
import { medianOf, medianRatioOf, roundToDigits, spreadOf } from './statistics.ts';

const ROUNDS = { full: 11, short: 5 };
/** A browser keeps compiled code of a page only once it has met it a few times. */
const UNCOUNTED_ROUNDS = 3;
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
export async function measureStart({ say, form }: PerfRun): Promise<Record<string, Figure>> {
  await buildStaleParts(say);
  const folder = makeDataFolder();
  const context = await openChromiumOn(join(folder.path, 'window-profile'));
  const rounds: StartRound[] = [];
  try {
    const port = await freePort();
    for (let round = 0; round < UNCOUNTED_ROUNDS + ROUNDS[form]; round += 1) {
      const emptyPageMs = await openEmptyPage(context);
      const bareNodeMs = await startBareNode();
      const started = await startToWindow(context, folder.path, port);
      if (round >= UNCOUNTED_ROUNDS) rounds.push({ emptyPageMs, bareNodeMs, ...started });
    }
  } finally {
    await context.close();
    folder.remove();
  }
  return figuresOf(rounds);
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
