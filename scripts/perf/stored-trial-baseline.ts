import { readFileSync } from 'node:fs';
import type { Browser } from 'playwright-core';
import { createSeededRandom } from '../../shared-lib/simulation/seeded-random.ts';
import { inProject } from '../project-root.mjs';
import { openPageMeter } from './page-cpu.ts';

/** uPlot with every raw sample of a noisy pull, in a page that does nothing else. */
export interface RawTrial {
  /** ms from asking for the samples to a frame with them, by the clock. */
  open(): Promise<number>;
  /** ms of processor time of the page's main thread for showing another stretch. */
  step(): Promise<number>;
  close(): Promise<void>;
}

interface TrialTold {
  readonly sampleRateHz: number;
  readonly sampleCount: number;
}

declare global {
  interface Window {
    openRaw: () => Promise<number>;
    stepRaw: (step: number) => Promise<void>;
  }
}

const ADDRESS = 'http://baseline.invalid/';
const SIZE = { widthPx: 1350, heightPx: 420 };

/** The first opening of a page is another measurement: it is made here. */
export async function openRawTrial(browser: Browser, told: TrialTold): Promise<RawTrial> {
  const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
  const values = noisyPull(told);
  await page.route(`${ADDRESS}**`, (route) =>
    route.request().url().endsWith('/curve')
      ? route.fulfill({ contentType: 'application/octet-stream', body: Buffer.from(values.buffer) })
      : route.fulfill({ contentType: 'text/html', body: '<!doctype html><body style="margin:0"></body>' }),
  );
  await page.goto(ADDRESS);
  await page.addScriptTag({
    content: readFileSync(inProject('node_modules', 'uplot', 'dist', 'uPlot.iife.min.js'), 'utf8'),
  });
  await page.evaluate(prepareRaw, { ...told, ...SIZE });
  await page.evaluate(() => window.openRaw());
  const meter = await openPageMeter(page);
  let steps = 0;
  return {
    open: () => page.evaluate(() => window.openRaw()),
    async step() {
      const before = await meter.look();
      await page.evaluate((number) => window.stepRaw(number), steps);
      steps += 1;
      return (await meter.look()).cpuMs - before.cpuMs;
    },
    close: () => page.close(),
  };
}

function noisyPull({ sampleCount }: TrialTold): Float64Array<ArrayBuffer> {
  const random = createSeededRandom(1, 1);
  return Float64Array.from(
    { length: sampleCount },
    (_, index) => 700 * Math.min(1, (8 * index) / sampleCount) + 15 * random.gaussian(),
  );
}

// Code for the page: nothing of this file can be used in it.
function prepareRaw(told: {
  readonly sampleRateHz: number;
  readonly sampleCount: number;
  readonly widthPx: number;
  readonly heightPx: number;
}): void {
  interface Plot {
    setScale(key: string, range: { readonly min: number; readonly max: number }): void;
    destroy(): void;
  }
  const { uPlot } = window as unknown as {
    uPlot: new (options: unknown, data: unknown, target: HTMLElement) => Plot;
  };
  const { sampleRateHz, sampleCount, widthPx, heightPx } = told;
  const wholeS = sampleCount / sampleRateHz;
  let plot: Plot | null = null;
  const nextFrame = (): Promise<number> => new Promise((resolve) => requestAnimationFrame(resolve));
  window.openRaw = async () => {
    plot?.destroy();
    const startedMs = performance.now();
    const values = new Float64Array(await (await fetch('/curve')).arrayBuffer());
    const timeS = Float64Array.from({ length: values.length }, (_, index) => index / sampleRateHz);
    plot = new uPlot(
      {
        width: widthPx,
        height: heightPx,
        legend: { show: false },
        cursor: { show: false },
        scales: { x: { time: false }, y: { range: [-100, 900] } },
        series: [{}, { stroke: '#58a', width: 1, points: { show: false } }],
      },
      [timeS, values],
      document.body,
    );
    // It draws in a task of its own before the next frame.
    await nextFrame();
    await nextFrame();
    return performance.now() - startedMs;
  };
  window.stepRaw = async (step) => {
    const widthS = wholeS / 2 ** (1 + (step % 3));
    const fromS = ((wholeS - widthS) * (step % 5)) / 5;
    plot?.setScale('x', { min: fromS, max: fromS + widthS });
    await nextFrame();
    await nextFrame();
  };
}
