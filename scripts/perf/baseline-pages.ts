import { readFileSync } from 'node:fs';
import type { Browser, Page } from 'playwright-core';
import { inProject } from '../project-root.mjs';
import { countFrames, cpuPerFrameMs, openPageMeter } from './page-cpu.ts';
import { medianOf } from './statistics.ts';

/** Curves of equal length, one after the other; the last is the live one. */
export interface RawCurves {
  readonly values: Float32Array;
  readonly curveCount: number;
  readonly sampleRateHz: number;
  readonly widthPx: number;
  readonly heightPx: number;
  /** How many samples of the live curve are there when measuring begins. */
  readonly liveSamples: number;
}

/** What a page is told; the curves themselves come as a file. */
type PageCurves = Omit<RawCurves, 'values'>;

declare global {
  interface Window {
    /** Draws so many frames, the live curve growing by a frame's worth of samples before each. */
    drawFrames: (frames: number) => Promise<void>;
  }
}

const BATCHES = 5;
const ADDRESS = 'http://baseline.invalid/';

/** Main-thread processor time per frame of uPlot with every raw sample. */
export function measureUplot(browser: Browser, curves: RawCurves): Promise<number> {
  const file = inProject('node_modules', 'uplot', 'dist', 'uPlot.iife.min.js');
  return measureBaseline(browser, curves, { file, prepare: prepareUplot, framesPerBatch: 15 });
}

/** Main-thread processor time per frame of Chart.js with every raw sample. */
export function measureChartJs(browser: Browser, curves: RawCurves): Promise<number> {
  const file = inProject('node_modules', 'chart.js', 'dist', 'chart.umd.min.js');
  return measureBaseline(browser, curves, { file, prepare: prepareChartJs, framesPerBatch: 4 });
}

async function measureBaseline(
  browser: Browser,
  { values, ...told }: RawCurves,
  baseline: {
    readonly file: string;
    readonly prepare: (told: PageCurves) => Promise<void>;
    readonly framesPerBatch: number;
  },
): Promise<number> {
  const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
  try {
    await countFrames(page);
    await serve(page, values);
    await page.goto(ADDRESS);
    await page.addScriptTag({ content: readFileSync(baseline.file, 'utf8') });
    await page.evaluate(baseline.prepare, told);
    const draw = (): Promise<void> =>
      page.evaluate((frames) => window.drawFrames(frames), baseline.framesPerBatch);
    await draw();
    const meter = await openPageMeter(page);
    const perFrameMs: number[] = [];
    for (let batch = 0; batch < BATCHES; batch += 1) {
      const before = await meter.look();
      await draw();
      perFrameMs.push(cpuPerFrameMs(before, await meter.look()));
    }
    return medianOf(perFrameMs);
  } finally {
    await page.close();
  }
}

async function serve(page: Page, values: Float32Array): Promise<void> {
  await page.route(`${ADDRESS}**`, (route) =>
    route.request().url().endsWith('/curves')
      ? route.fulfill({
          contentType: 'application/octet-stream',
          body: Buffer.from(values.buffer, values.byteOffset, values.byteLength),
        })
      : route.fulfill({ contentType: 'text/html', body: '<!doctype html><body style="margin:0"></body>' }),
  );
}

// From here on code for the page: nothing of this file can be used in it. Every setting that is known to make the library
// quicker without leaving out samples is set, and axes and ranges stand still.

async function prepareUplot(told: PageCurves): Promise<void> {
  interface Plot {
    setData(data: unknown): void;
  }
  const { uPlot } = window as unknown as {
    uPlot: new (options: unknown, data: unknown, target: HTMLElement) => Plot;
  };
  const { curveCount, sampleRateHz, widthPx, heightPx } = told;
  const values = new Float32Array(await (await fetch('/curves')).arrayBuffer());
  const length = values.length / curveCount;
  const timeS = Float64Array.from({ length }, (_, index) => index / sampleRateHz);
  const earlier = Array.from({ length: curveCount - 1 }, (_, curve) =>
    Float64Array.from(values.subarray(curve * length, (curve + 1) * length)),
  );
  const whole = values.subarray((curveCount - 1) * length);
  let end = told.liveSamples;
  const live: (number | null)[] = Array.from(whole, (value, index) => (index < end ? value : null));
  const top = values.reduce((greatest, value) => Math.max(greatest, value), 0) * 1.1;
  const colors = ['#8a5', '#58a', '#a58', '#111'];
  const plot = new uPlot(
    {
      width: widthPx,
      height: heightPx,
      legend: { show: false },
      cursor: { show: false },
      scales: { x: { time: false, range: [0, length / sampleRateHz] }, y: { range: [-top * 0.06, top] } },
      series: [{}, ...colors.map((stroke) => ({ stroke, width: 2, points: { show: false } }))],
    },
    [timeS, ...earlier, live],
    document.body,
  );
  window.drawFrames = (frames) =>
    new Promise((resolve) => {
      let drawn = 0;
      const frame = (): void => {
        if (drawn === frames) {
          resolve();
          return;
        }
        drawn += 1;
        for (const next = Math.min(length, end + Math.round(sampleRateHz / 60)); end < next; end += 1) {
          live[end] = whole[end] ?? null;
        }
        plot.setData([timeS, ...earlier, live]);
        requestAnimationFrame(frame);
      };
      requestAnimationFrame(frame);
    });
}

async function prepareChartJs(told: PageCurves): Promise<void> {
  interface Plot {
    update(mode: 'none'): void;
  }
  const { Chart } = window as unknown as { Chart: new (canvas: HTMLCanvasElement, options: unknown) => Plot };
  const { curveCount, sampleRateHz, widthPx, heightPx } = told;
  const values = new Float32Array(await (await fetch('/curves')).arrayBuffer());
  const length = values.length / curveCount;
  const point = (curve: number, index: number): { x: number; y: number } => ({
    x: index / sampleRateHz,
    y: values[curve * length + index] ?? Number.NaN,
  });
  let end = told.liveSamples;
  const lengthOf = (curve: number): number => (curve === curveCount - 1 ? end : length);
  const curves = Array.from({ length: curveCount }, (_, curve) =>
    Array.from({ length: lengthOf(curve) }, (_, index) => point(curve, index)),
  );
  const live = curves.at(-1) ?? [];
  const top = values.reduce((greatest, value) => Math.max(greatest, value), 0) * 1.1;
  const colors = ['#8a5', '#58a', '#a58', '#111'];
  const canvas = document.createElement('canvas');
  canvas.width = widthPx;
  canvas.height = heightPx;
  document.body.append(canvas);
  const chart = new Chart(canvas, {
    type: 'line',
    data: {
      datasets: curves.map((data, curve) => ({
        data,
        borderColor: colors[curve],
        borderWidth: 2,
        pointRadius: 0,
        tension: 0,
      })),
    },
    options: {
      responsive: false,
      animation: false,
      parsing: false,
      normalized: true,
      events: [],
      plugins: { legend: { display: false }, tooltip: { enabled: false } },
      scales: {
        x: { type: 'linear', min: 0, max: length / sampleRateHz },
        y: { type: 'linear', min: -top * 0.06, max: top },
      },
    },
  });
  window.drawFrames = (frames) =>
    new Promise((resolve) => {
      let drawn = 0;
      const frame = (): void => {
        if (drawn === frames) {
          resolve();
          return;
        }
        drawn += 1;
        const from = end;
        end = Math.min(length, end + Math.round(sampleRateHz / 60));
        live.push(...Array.from({ length: end - from }, (_, offset) => point(curveCount - 1, from + offset)));
        chart.update('none');
        requestAnimationFrame(frame);
      };
      requestAnimationFrame(frame);
    });
}
