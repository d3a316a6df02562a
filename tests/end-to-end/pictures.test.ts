import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { PNG } from 'pngjs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { ChartLook } from '../../shared-lib/charts/chart-model.ts';
import { drawChart } from '../../shared-lib/charts/draw-chart.ts';
import { fontFace, fontPartsOf } from '../../shared-lib/picture/font-subsets.ts';
import type { Picture, TextStyle } from '../../shared-lib/picture/picture-model.ts';
import { textShape } from '../../shared-lib/picture/shapes.ts';
import { measureTextPx, pictureText } from '../../shared-lib/picture/text-width.ts';
import { writeSvg } from '../../shared-lib/picture/write-svg.ts';
import type { Subject } from '../../shared-lib/publishing/publishing-model.ts';
import { demoCharts, everyLook } from '../helpers/demo-charts.ts';
import { openBrowser, openPage } from '../helpers/browser-page.ts';
import { type RunningProgram, startProgram } from '../helpers/running-program.ts';
import { textsOf } from '../helpers/texts-of-picture.ts';
import { open } from '../integration/storage-support/bench-fixture.ts';
import { createComparedBench, forwardStep, keyOf } from '../integration/storage-support/compared-bench.ts';
import { pullThreeRounds } from '../integration/publishing-support/published-bench.ts';

const subject: Subject = {
  kind: 'comparison',
  asked: {
    step: forwardStep,
    a: keyOf('hollin'),
    b: keyOf('tarnwick'),
    sessionIds: null,
    isForced: false,
    measure: { figure: 'sustainedTorque' },
  },
};

let browser: Browser;
/** An empty page, whose policy lets a document have a style of its own. */
let reader: Page;
let program: RunningProgram;
const folder = mkdtempSync(join(tmpdir(), 'proofarm-pictures-'));

beforeAll(async () => {
  const database = open(folder, { filePath: join(folder, 'proofarm.db') });
  pullThreeRounds(createComparedBench(database));
  database.close();
  program = await startProgram(folder);
  browser = await openBrowser();
  reader = await browser.newPage();
});
afterAll(async () => {
  await browser.close();
  await program.end();
  rmSync(folder, { recursive: true, force: true });
});

async function save(page: Page, name: string): Promise<Buffer> {
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name, exact: true }).click(),
  ]);
  return readFileSync(await download.path());
}

/** What the browser's own reader of XML makes of a document. */
interface ReadSvg {
  readonly errors: string[];
  readonly root: string;
  readonly title: string | null;
  readonly description: string | null;
  readonly texts: string[];
  readonly scripts: number;
}

async function readSvg(page: Page, text: string): Promise<ReadSvg> {
  return page.evaluate((source) => {
    const document = new DOMParser().parseFromString(source, 'image/svg+xml');
    const wordsOf = (name: string): string[] =>
      [...document.getElementsByTagName(name)].map(({ textContent }) => textContent);
    return {
      errors: wordsOf('parsererror'),
      root: `${document.documentElement.namespaceURI ?? ''} ${document.documentElement.localName}`,
      title: wordsOf('title')[0] ?? null,
      description: wordsOf('desc')[0] ?? null,
      texts: wordsOf('text'),
      scripts: document.getElementsByTagName('script').length,
    };
  }, text);
}

/** The picture as a browser shows the saved file, decoded by another program than the one that encoded the PNG. */
async function screenshotOf(svg: string | Buffer, widthPx: number, heightPx: number): Promise<PNG> {
  const file = join(folder, 'shown.svg');
  writeFileSync(file, svg);
  const page = await browser.newPage({ viewport: { width: widthPx, height: heightPx } });
  await page.goto(`file://${file}`);
  const shot = await page.screenshot();
  await page.close();
  return PNG.sync.read(shot);
}

/** Mean difference of a colour channel, of 255, and the share of pixels that differ by more than a quarter. */
function difference(one: PNG, other: PNG): { readonly mean: number; readonly farShare: number } {
  let [sum, far] = [0, 0];
  for (let at = 0; at < one.data.length; at += 4) {
    const off = [0, 1, 2].map((channel) =>
      Math.abs((one.data[at + channel] ?? 0) - (other.data[at + channel] ?? 0)),
    );
    sum += off.reduce((total, part) => total + part, 0) / 3;
    if (Math.max(...off) > 64) far += 1;
  }
  const pixels = one.data.length / 4;
  return { mean: sum / pixels, farShare: far / pixels };
}

const fontCssOf = (picture: Picture): string =>
  fontPartsOf(picture)
    .map((part) => {
      const file = new URL(
        `../../node_modules/@fontsource/inter/files/inter-${part.subset}-${part.weight}-normal.woff2`,
        import.meta.url,
      );
      return fontFace(part, 'woff2', readFileSync(file).toString('base64'));
    })
    .join('\n');

describe('a saved picture', () => {
  const looks: readonly Omit<ChartLook, 'torqueUnit'>[] = [
    { format: 'square', theme: 'dark' },
    { format: 'upright', theme: 'light' },
  ];
  for (const { format, theme } of looks) {
    it(
      `is the same as PNG and as SVG, ${format} and ${theme}, with all its words`,
      { timeout: 240_000 },
      async () => {
        const { page, complaints } = await openPage(browser, program.url);
        await page.getByRole('navigation').first().waitFor();
        const address = new URL('/share/chart', program.url);
        address.search = new URLSearchParams({
          subject: JSON.stringify(subject),
          chart: 'curves',
          format,
          theme,
        }).toString();
        await page.goto(address.href);
        await page.getByRole('img', { name: /Hollin H5 against Tarnwick T6/ }).waitFor();
        const png = PNG.sync.read(await save(page, 'Save picture (PNG)'));
        const svg = (await save(page, 'Save picture (SVG)')).toString('utf8');

        expect([png.width, png.height]).toEqual([1080, format === 'square' ? 1080 : 1920]);
        expect([...png.data.subarray(0, 4)]).toEqual(
          theme === 'dark' ? [0x12, 0x14, 0x16, 255] : [255, 255, 255, 255],
        );

        const read = await readSvg(reader, svg);
        expect(read).toMatchObject({
          errors: [],
          root: 'http://www.w3.org/2000/svg svg',
          title: 'Hollin H5 against Tarnwick T6',
          scripts: 0,
        });
        expect(read.description).toContain('dynamic error not included');
        expect(read.texts).toEqual(
          expect.arrayContaining(['Hollin H5', 'Tarnwick T6', 'time from onset, s', 'demo, simulated']),
        );
        expect(read.texts.join(' ')).toMatch(
          /n: Hollin H5: 3 runs.+Calibration “.+pulled 2026-04-01; 80\u2009Sa\/s/u,
        );
        expect(svg).toContain('src:url(data:font/woff2;base64,');

        const shown = await screenshotOf(svg, png.width, png.height);
        const { mean, farShare } = difference(png, shown);

        // Letters are smoothed a little differently on a canvas: up to 0.12 and 0.0004 seen. One pixel off makes 3.2 and 0.02.
        expect(mean).toBeLessThan(0.5);
        expect(farShare).toBeLessThan(0.002);
        expect(complaints).toEqual([]);
        await page.close();
      },
    );
  }
});

describe('the table of widths', () => {
  it('agrees with what the browser makes of the same font', { timeout: 120_000 }, async () => {
    const texts = [
      'Hollin H5 against Tarnwick T6',
      'Calibration “Weights on the arm, March” of 9 March, ±0.50\u202f% (95\u202f%)',
      'AVATAR Wäre Łódź Ωμέγα Привет',
      'reading minus fit, N·m − ft·lbf × °C – “…”',
    ];
    const styles: TextStyle[] = ([400, 600, 700] as const).map((weight) => ({
      sizePx: 100,
      weight,
      isProse: true,
    }));
    const picture: Picture = {
      widthPx: 100,
      heightPx: 100,
      ground: null,
      title: '',
      description: '',
      shapes: styles.flatMap((style) => texts.map((text) => textShape(text, 0, 0, style, '#000000'))),
    };
    const page = await browser.newPage();
    await page.setContent(`<style>${fontCssOf(picture)}</style>`);
    for (const style of styles) {
      for (const text of texts) {
        const widthPx = await page.evaluate(
          async ({ words, weight }) => {
            const font = `${weight} 100px Inter`;
            await document.fonts.load(font, words);
            const context = document.createElement('canvas').getContext('2d');
            if (context === null) throw new Error('There is no canvas');
            context.font = font;
            context.fontKerning = 'none';
            return context.measureText(words).width;
          },
          { words: pictureText(text), weight: style.weight },
        );
        expect(measureTextPx(text, style) / widthPx).toBeCloseTo(1, 3);
      }
    }
    await page.close();
  });
});

describe('every chart in every look', () => {
  it('is a document that the browser reads back with the same words', { timeout: 120_000 }, async () => {
    const hostile = demoCharts.map((chart) => ({
      ...chart,
      title: `${chart.title} </text><script>x</script> & "\u0000\ud800`,
    }));
    for (const chart of [...demoCharts, ...hostile]) {
      for (const look of everyLook) {
        const picture = drawChart(chart, look);
        const read = await readSvg(reader, writeSvg(picture, ''));
        expect(read).toMatchObject({ errors: [], scripts: 0 });
        expect(read.texts).toEqual(textsOf(picture).map(({ text }) => pictureText(text)));
      }
    }
  });
});
