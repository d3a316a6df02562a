import { setTimeout as wait } from 'node:timers/promises';
import type { Browser, Page } from 'playwright-core';
import { simulatedCalibration } from '../../shared-lib/simulation/simulated-transducer.ts';
import { startLoopbackServer } from '../../main/hosts/loopback/loopback-server.ts';
import { rendererFolder } from '../../main/hosts/program-files.ts';
import { createLogger } from '../../main/platform/logger.ts';
import { prepareRealBench } from '../../tests/helpers/real-bench.ts';
import {
  makeDataFolder,
  type RunningServices,
  startRealServices,
} from '../../tests/helpers/running-services.ts';
import { buildStaleParts } from '../build-parts.mjs';
import type { Figure } from '../measured-figures.ts';
import { armWhenAtRest } from '../../tests/helpers/arm-when-at-rest.ts';
import { measureChartJs, measureUplot, type RawCurves } from './baseline-pages.ts';
import { openChromium } from './chromium.ts';
import { countFrames, cpuPerFrameMs, openPageMeter, type PageMeter, type PageWork } from './page-cpu.ts';
import type { PassingMeasurement, PerfRun } from './perf-run.ts';
import { type SerialWriter, startWriter } from './serial-turns.ts';
import { medianOf, roundTo, spreadOf } from './statistics.ts';

const RATE_HZ = 40_000;
const RUN_S = 15;
const EARLIER_LOADS_NM = [720, 790, 850];
const LOAD_NM = 900;
/** The page is measured in the last seconds of the run, when the live curve is longest. */
const MEASURED_FROM_S = 10;
const MEASURED_S = 4;
const TIMES_LESS = { uplot: 12, chartjs: 75 };

/**
 * P2: main-thread processor time per frame of the real Bench in mid-run, fed over its real socket by the real services,
 * against two chart libraries that get every raw sample of the same four trials.
 */
export async function prepareLivePicture({ say }: PerfRun): Promise<PassingMeasurement> {
  await buildStaleParts(say);
  const rounds: PictureRound[] = [];
  return {
    async pass() {
      const browser = await openChromium();
      try {
        rounds.push(await measurePages(browser));
      } finally {
        await browser.close();
      }
    },
    figures: () => figuresOf(rounds),
    end: () => undefined,
  };
}

function figuresOf(rounds: readonly PictureRound[]): Record<string, Figure> {
  const perFrameMs = medianOf(rounds.map((round) => round.perFrameMs));
  const framesPerS = medianOf(rounds.map((round) => round.framesPerS));
  const figure = (name: string, baseline: (round: PictureRound) => number, limit: number): Figure => {
    const ratios = rounds.map((round) => baseline(round) / round.perFrameMs);
    const ratio = medianOf(ratios);
    return {
      value: roundTo(ratio, 1),
      unit: 'x less main-thread processor time per frame',
      baseline: roundTo(medianOf(rounds.map(baseline)), 1),
      limit,
      met: ratio >= limit,
      note:
        `Median of ${rounds.length} runs. The Bench took ${roundTo(perFrameMs, 2)} ms of main-thread processor time per frame at ${roundTo(framesPerS, 0)} frames/s (all of the thread's time: socket, React, drawing; median of ${MEASURED_S} seconds from ` +
        `${MEASURED_FROM_S} s on in a run of ${RUN_S} s at ${RATE_HZ} Sa/s, ${EARLIER_LOADS_NM.length} earlier curves). Baseline: ms per frame of ${name} with all raw samples of four such runs at the same size, the live one growing, while the same lines were read, after each run.`,
      spread: spreadOf(ratios),
    };
  };
  return {
    'P2.uplot': figure('uPlot 1.6', ({ uplotMs }) => uplotMs, TIMES_LESS.uplot),
    'P2.chartjs': figure('Chart.js 4', ({ chartJsMs }) => chartJsMs, TIMES_LESS.chartjs),
  };
}

interface PictureRound {
  readonly perFrameMs: number;
  readonly framesPerS: number;
  readonly uplotMs: number;
  readonly chartJsMs: number;
}

async function measurePages(browser: Browser): Promise<PictureRound> {
  const folder = makeDataFolder();
  const bench = await startRealServices(folder.path);
  const log = createLogger(() => undefined);
  const server = await startLoopbackServer({ services: bench.services, rendererFolder, port: 0, log });
  const { writer, path } = await startWriter(RATE_HZ);
  try {
    const push = (torqueNm: number, durationS: number): void => {
      writer.send({ type: 'load', torqueNm, durationS });
    };
    await prepareRealBench(
      bench,
      { path, simulated: { bench: { push } } },
      { profileId: 'sequence-time-counts-checksum', rateHz: RATE_HZ, plannedS: RUN_S },
    );
    const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    await countFrames(page);
    await page.goto(server.url);
    await page.locator('.primary-control button').waitFor();
    const meter = await openPageMeter(page);
    const trialIds: string[] = [];
    for (const loadNm of EARLIER_LOADS_NM) {
      trialIds.push(await startRun(bench, writer, loadNm));
      await endRun(bench);
    }
    trialIds.push(await startRun(bench, writer, LOAD_NM));
    const looks = await lookAtRun(meter);
    await endRun(bench);
    const curves: RawCurves = {
      values: await rawValues(bench, trialIds),
      curveCount: trialIds.length,
      sampleRateHz: RATE_HZ,
      liveSamples: RATE_HZ * MEASURED_FROM_S,
      ...(await sizeOfCurve(page)),
    };
    // The lines go on being read meanwhile, so that every page has the same share of the machine.
    const round = {
      ...looks,
      uplotMs: await measureUplot(browser, curves),
      chartJsMs: await measureChartJs(browser, curves),
    };
    await page.close();
    return round;
  } finally {
    await server.close();
    await bench.close();
    await writer.end();
    folder.remove();
  }
}

async function lookAtRun(meter: PageMeter): Promise<Pick<PictureRound, 'perFrameMs' | 'framesPerS'>> {
  await wait(MEASURED_FROM_S * 1000);
  const looks: PageWork[] = [await meter.look()];
  while (looks.length <= MEASURED_S) {
    await wait(1000);
    looks.push(await meter.look());
  }
  const [first, last] = [looks[0], looks.at(-1)];
  if (!first || !last) throw new Error('The page was not looked at');
  return {
    perFrameMs: medianOf(looks.slice(1).map((after, index) => cpuPerFrameMs(looks[index] ?? after, after))),
    framesPerS: (last.frames - first.frames) / MEASURED_S,
  };
}

function sizeOfCurve(page: Page): Promise<{ widthPx: number; heightPx: number }> {
  return page.evaluate(() => {
    const canvas = document.querySelector('.live-curve-axes');
    return { widthPx: canvas?.clientWidth ?? 0, heightPx: canvas?.clientHeight ?? 0 };
  });
}

/** Returns once the run is under way. */
async function startRun(bench: RunningServices, writer: SerialWriter, torqueNm: number): Promise<string> {
  await armWhenAtRest(bench.handlers);
  await bench.untilPhase('waiting', 20_000);
  writer.send({ type: 'load', torqueNm, durationS: RUN_S + 0.3 });
  const { trialId } = await bench.untilPhase('run');
  return trialId;
}

async function endRun(bench: RunningServices): Promise<void> {
  const { trial } = await bench.until(
    'the end of the run',
    ({ trial: { phase } }) => phase === 'kept' || phase === 'reviewing' || phase === 'interrupted',
    (RUN_S + 20) * 1000,
  );
  if (trial.phase === 'interrupted') throw new Error('The run was cut off');
  // A machine that has more to do loses lines, and such a trial waits for a decision.
  if (trial.phase === 'reviewing') await bench.handlers.keepTrial({ trialId: trial.trialId });
}

/** Torque in N·m of the first 15 s of each record; a lost sample has the value before it. */
async function rawValues(bench: RunningServices, trialIds: readonly string[]): Promise<Float32Array> {
  const length = RATE_HZ * RUN_S;
  const values = new Float32Array(length * trialIds.length);
  for (const [curve, trialId] of trialIds.entries()) {
    const { counts, gaps } = await bench.handlers.getTrialCounts({ trialId });
    for (let pair = 0; pair < gaps.length; pair += 2) {
      const from = gaps[pair] ?? 0;
      counts.fill(counts[from - 1] ?? 0, from, from + (gaps[pair + 1] ?? 0));
    }
    const zero = counts[0] ?? 0;
    for (let index = 0; index < length; index += 1) {
      const deflection = (counts[index] ?? zero) - zero;
      values[curve * length + index] = deflection * simulatedCalibration.forward.gainNmPerCount;
    }
  }
  return values;
}
