import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import type { Browser, Page } from 'playwright-core';
import { type ChartLook, chartFormats, chartLookSchema } from '../../shared-lib/charts/chart-model.ts';
import { drawChart } from '../../shared-lib/charts/draw-chart.ts';
import { writeSvg } from '../../shared-lib/picture/write-svg.ts';
import type { Subject } from '../../shared-lib/publishing/publishing-model.ts';
import { writePage } from '../../shared-lib/report/page/write-page.ts';
import { forkReader } from '../../main/hosts/loopback/fork-reader.ts';
import { readerEntry } from '../../main/hosts/program-files.ts';
import { startServices } from '../../main/hosts/start-services.ts';
import { localInstant } from '../../main/platform/local-instant.ts';
import { pageFontCss, readFontPieces } from '../../main/report/report-fonts.ts';
import type { RequestHandlers } from '../../main/services.ts';
import { folder, photograph } from './photograph.ts';

const table: Subject = { kind: 'standings', tableId: 'demo-table-half-inch' };
const session: Subject = { kind: 'session', sessionId: 'demo-session-1' };

const screens: readonly (readonly [name: string, address: string])[] = [
  ['share-chart', '/share/chart'],
  ['share-chart-places', sharing('chart', table)],
  ['share-report', sharing('report', session)],
  ['share-data', sharing('data', table)],
  ['share-replay', sharing('replay', session)],
  ['share-overlay', '/share/overlay'],
  ['share-bring-in', '/share/bring-in'],
  ['setup-backups', '/setup/backups'],
];

/** The place Share and the backups, on the demo workshop. */
export async function photographShare(page: Page, origin: string): Promise<void> {
  for (const [name, address] of screens) {
    await page.goto(`${origin}${address}`);
    await page.getByRole('heading').first().waitFor();
    // Pictures come after the page.
    await wait(3000);
    await photograph(page, name);
  }
}

/** What is published: pictures in every form, reports, and the overlay over a dark and a bright ground. */
export async function photographPublished(browser: Browser, dataFolder: string): Promise<void> {
  const started = await startServices({
    dataFolder,
    host: 'browser',
    isSimulated: false,
    startReader: (log) => forkReader(readerEntry, log),
  });
  if ('runningAt' in started) throw new Error('Another program works on the demo workshop');
  const { handlers } = started.services;
  try {
    const subjects = await subjectsOf(handlers);
    const page = await browser.newPage({ locale: 'en-GB' });
    await photographCharts(page, handlers, subjects);
    await photographReports(page, handlers, subjects);
    await photographOverlay(page, handlers);
    await page.close();
  } finally {
    await started.end();
  }
}

async function subjectsOf(handlers: RequestHandlers): Promise<Record<string, Subject>> {
  const { contenders } = await handlers.listContenders({});
  const [a, b] = contenders.filter(({ key }) => /hollin-h5|tarnwick-t6/.test(key));
  const step = a?.steps[0]?.step;
  const { rows } = await handlers.getStandings({ tableId: 'demo-table-half-inch' });
  const { editions } = await handlers.listEditions({ tableId: 'demo-table-half-inch' });
  const { trials } = await handlers.listTrials({ search: 'Hollin', state: 'kept', limit: 1, offset: 0 });
  const [trial] = trials;
  const [edition] = editions;
  if (!a || !b || !step || !trial || !edition || rows.length === 0) {
    throw new Error('The demo workshop lacks something that is published');
  }
  const { conditions } = await handlers.getTrial({ trialId: trial.id });
  const asked = {
    step,
    a: a.key,
    b: b.key,
    sessionIds: null,
    isForced: false,
    measure: { figure: 'sustainedTorque' },
  } as const;
  return {
    trial: { kind: 'trial', trialId: trial.id },
    comparison: { kind: 'comparison', asked },
    session,
    calibration: { kind: 'calibration', calibrationId: conditions.calibrationId },
    standings: table,
    edition: { kind: 'edition', editionId: edition.id },
  };
}

/** Half as large as they are published. */
const SCALE = 0.5;
const PRINT_SCALE = 0.25;

async function photographCharts(
  page: Page,
  handlers: RequestHandlers,
  subjects: Record<string, Subject>,
): Promise<void> {
  const pieces = readFontPieces();
  for (const [name, subject] of Object.entries(subjects)) {
    const { charts } = await handlers.describeSubject({ subject });
    for (const kind of charts) {
      const chart = await handlers.getChart({ subject, chart: kind });
      for (const look of looks()) {
        const { widthPx, heightPx } = chartFormats[look.format];
        const scale = look.format === 'print' ? PRINT_SCALE : SCALE;
        const picture = drawChart(chart, look);
        const text = picture.shapes.map((shape) => (shape.kind === 'text' ? shape.text : '')).join('');
        const svg = writeSvg(picture, pageFontCss(pieces, text));
        const [width, height] = [Math.round(widthPx * scale), Math.round(heightPx * scale)];
        await page.setViewportSize({ width, height });
        await page.setContent(
          `<style>body { margin: 0 } svg { display: block; width: ${width}px; height: ${height}px }</style>${svg}`,
        );
        await page.evaluate(() => document.fonts.ready);
        await shoot(page, `published-${name}-${kind}-${look.format}-${look.theme}`);
      }
    }
    console.log(`published ${name}: ${charts.join(', ')}`);
  }
}

/** Wide in both themes; the other formats in one each. */
function looks(): ChartLook[] {
  const forms = [
    ['wide', 'light'],
    ['wide', 'dark'],
    ['square', 'dark'],
    ['upright', 'light'],
    ['print', 'light'],
  ];
  return forms.map(([format, theme]) => chartLookSchema.parse({ format, theme, torqueUnit: 'Nm' }));
}

async function photographReports(
  page: Page,
  handlers: RequestHandlers,
  subjects: Record<string, Subject>,
): Promise<void> {
  const pieces = readFontPieces();
  for (const [name, subject] of Object.entries(subjects)) {
    const report = await handlers.getReport({ subject, torqueUnit: 'Nm' });
    const html = writePage(report, {
      fontCss: (text) => pageFontCss(pieces, text),
      formatInstant: localInstant,
    });
    await page.setViewportSize({ width: 1000, height: 1414 });
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme });
      await page.setContent(html);
      await page.evaluate(() => document.fonts.ready);
      await shoot(page, `report-${name}-${colorScheme}`);
    }
    console.log(`report ${name}`);
  }
  await page.emulateMedia({ colorScheme: 'light' });
}

async function photographOverlay(page: Page, handlers: RequestHandlers): Promise<void> {
  const { trials } = await handlers.listTrials({ search: 'Tarnwick', state: 'kept', limit: 1, offset: 0 });
  const [trial] = trials;
  if (!trial) throw new Error('There is no trial to be shown on the overlay');
  const devtools = await page.context().newCDPSession(page);
  const grounds = { dark: { r: 24, g: 28, b: 32, a: 1 }, bright: { r: 214, g: 210, b: 200, a: 1 } };
  await page.setViewportSize({ width: 1920, height: 1080 });
  for (const [ground, theme] of [
    ['dark', 'onDark'],
    ['bright', 'onLight'],
    ['bright', 'panel'],
  ] as const) {
    const { url } = await handlers.setOverlay({ isOn: true, theme, layout: 'curveAndFigures', delayMs: 0 });
    if (url === null) throw new Error('The overlay is not served');
    await devtools.send('Emulation.setDefaultBackgroundColorOverride', { color: grounds[ground] });
    await page.goto('about:blank');
    await page.goto(url);
    await wait(800);
    await handlers.playReplay({ replay: { trialIds: [trial.id], fromS: -0.5, toS: trial.step.plannedS } });
    await wait(3500);
    await shoot(page, `overlay-${theme}-on-${ground}`);
    await handlers.stopReplay({});
  }
  await devtools.send('Emulation.setDefaultBackgroundColorOverride', {});
  await handlers.setOverlay({ isOn: false });
  console.log('overlay');
}

async function shoot(page: Page, name: string): Promise<void> {
  const devtools = await page.context().newCDPSession(page);
  const { data } = await devtools.send('Page.captureScreenshot', { format: 'webp', quality: 50 });
  writeFileSync(join(folder, `${name}.webp`), Buffer.from(data, 'base64'));
  await devtools.detach();
}

function sharing(view: string, subject: Subject): string {
  return `/share/${view}?subject=${encodeURIComponent(JSON.stringify(subject))}`;
}
