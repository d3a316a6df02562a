import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';
import { startWorkThread } from '../../main/hosts/start-work-thread.ts';
import { workEntry } from '../../main/hosts/program-files.ts';
import { startWork } from '../../main/work/start-work.ts';
import { buildStaleParts } from '../../scripts/build-parts.mjs';
import { reportOfSession } from '../../shared-lib/report/report-of-session.ts';
import type { Report } from '../../shared-lib/report/report-model.ts';
import { readByPoppler, readPdf } from '../helpers/read-pdf.ts';
import { demoRunSheet, demoSession, enteredCalibration, reportContext } from '../helpers/scripted-reports.ts';
import { demoRecord, demoSetup } from '../unit/renderer/logbook/trial-samples.ts';

/** Reports as files, made in the thread that the program makes them in and read by others. */
const folder = mkdtempSync(join(tmpdir(), 'proofarm-test-'));
let made = 0;

afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

const threadOf = (entryFile: string) => ({
  startWorkThread: (request: Parameters<typeof startWorkThread>[1]) => startWorkThread(entryFile, request),
});

async function write(report: Report, form: 'html' | 'pdf'): Promise<string> {
  made += 1;
  const targetFile = join(folder, `report-${made}.${form}`);
  const { bytes } = await startWork(threadOf(workEntry), 'writeReport', { report, form, targetFile }).done;
  expect(readFileSync(targetFile).byteLength).toBe(bytes);
  return targetFile;
}

const short: Report = {
  title: 'Hollin H5 (demo) against “Жук” Ω & Sohn <b>',
  subtitle: 'Sustained torque, tighten forward 5 s',
  madeAt: '2026-04-03T09:00:00.000Z',
  softwareVersion: '0.1.0',
  benchName: 'Demo bench',
  isSimulated: true,
  torqueUnit: 'Nm',
  sections: [
    {
      heading: 'Verdict',
      blocks: [
        { kind: 'text', text: 'Hollin H5 is ahead by 12.0\u202f% (8 to 16).' },
        { kind: 'caution', text: 'Static calibration; dynamic error not included.' },
        {
          kind: 'chart',
          caption: 'Means',
          chart: {
            kind: 'means',
            title: 'Means of both',
            subtitle: 'Tighten forward 5 s',
            notes: ['n = 3'],
            quantity: 'torque',
            quantityWords: 'sustained torque',
            rows: [
              { label: 'Hollin H5', colour: 0, mean: 560, low: 540, high: 580, runs: [555, 560, 565] },
              { label: 'Жук 東京', colour: 1, mean: 500, low: null, high: null, runs: [500] },
            ],
            levels: [],
          },
        },
      ],
    },
    {
      heading: 'Every trial',
      blocks: [
        {
          kind: 'table',
          caption: 'All of them',
          columns: [
            { label: 'No.', align: 'end' },
            { label: 'Tool', align: 'start' },
          ],
          rows: [
            ['1', 'Q'.repeat(80)],
            ['2', '東京 wrench'],
          ],
        },
      ],
    },
  ],
};

describe('a report as PDF', () => {
  it('is sound by its own table, with title, language, an outline and all words in reading order', async () => {
    const { title, language, outline, pageCount, pageTexts } = readPdf(await write(short, 'pdf'));
    expect(title).toBe(short.title);
    expect(language).toBe('en');
    expect(outline).toEqual(['Verdict', 'Every trial']);
    expect(pageCount).toBe(1);
    const words = pageTexts[0] ?? '';
    const places = [
      'Simulated: a demonstration',
      'Hollin H5 (demo) against “Жук” Ω & Sohn <b>',
      'Verdict',
      'Hollin H5 is ahead by 12.0\u00a0%',
      'Caution. Static calibration',
      'Means of both',
      'Every trial',
      'Q'.repeat(80),
      '[U+6771][U+4EAC] wrench',
      'lacks are written by their number in Unicode',
      'Page 1 of 1',
    ].map((part) => ({ part, at: words.indexOf(part) }));
    expect(places.filter(({ at }) => at === -1)).toEqual([]);
    expect(places.map(({ at }) => at)).toEqual(places.map(({ at }) => at).toSorted((a, b) => a - b));
    expect(words).not.toContain('\ufffd');
  });

  it('says the same to poppler, where that is installed', async (test) => {
    const read = readByPoppler(await write(short, 'pdf'));
    test.skip(read === null, 'poppler is not installed');
    expect(read?.info).toMatch(/Pages: +1\n/);
    expect(read?.info).toMatch(/JavaScript: +no/);
    expect(read?.info).toContain('(A4)');
    expect(read?.text).toContain('“Жук” Ω & Sohn <b>');
    expect(read?.text).toContain('Q'.repeat(80));
  });

  it('has the same bytes each time', async () => {
    const [one, other] = [await write(short, 'pdf'), await write(short, 'pdf')];
    expect(readFileSync(one).equals(readFileSync(other))).toBe(true);
  });

  it('takes a session of two hundred trials, each in one row and the head of the table on every page', async () => {
    const records = Array.from({ length: 200 }, (_, index) => ({
      ...demoRecord,
      summary: {
        ...demoRecord.summary,
        id: `00000000-0000-4000-8000-${String(index).padStart(12, '0')}`,
        startedAt: new Date(Date.UTC(2026, 2, 4, 10, index)).toISOString(),
        step: { ...demoRecord.summary.step, toolName: 'W'.repeat(80) },
        setup: { ...demoSetup, toolName: 'W'.repeat(80) },
      },
    }));
    const report = reportOfSession(
      {
        session: demoSession,
        records,
        sheets: [demoRunSheet()],
        calibrations: [enteredCalibration],
        calibrationLabel: () => null,
        charts: [],
      },
      {
        ...reportContext,
        formatInstant: (instant) => `${instant.slice(0, 10)} ${instant.slice(11, 19)} +00:00`,
      },
    );
    const { pageTexts, pageCount } = readPdf(await write(report, 'pdf'));
    expect(pageCount).toBeGreaterThan(10);
    const words = pageTexts.join('\n');
    for (const { summary } of records) expect(words).toContain(summary.id);
    expect(words.split('W'.repeat(80)).length - 1).toBeGreaterThanOrEqual(200);
    expect(pageTexts.filter((page) => page.includes('No.Pulled')).length).toBeGreaterThan(3);
    pageTexts.forEach((page, index) => {
      expect(page).toContain(`Page ${index + 1} of ${pageCount}`);
    });
  }, 120_000);
});

describe('a report by the built program', () => {
  it('has the same bytes as by its sources, with the typeface that the build brought along', async () => {
    await buildStaleParts(() => undefined);
    const targetFile = join(folder, 'built.pdf');
    const builtEntry = fileURLToPath(new URL('../../dist/main/work-thread.js', import.meta.url));
    for (const form of ['pdf', 'html'] as const) {
      const built = targetFile.replace('pdf', form);
      await startWork(threadOf(builtEntry), 'writeReport', { report: short, form, targetFile: built }).done;
      expect(readFileSync(built).equals(readFileSync(await write(short, form)))).toBe(true);
    }
  });
});

describe('a report as a page', () => {
  it('has the font inside for what it says, and keeps letters that no font of ours has', async () => {
    const page = readFileSync(await write(short, 'html'), 'utf8');
    expect(page).toContain('東京 wrench');
    expect(page.match(/@font-face/g)?.length).toBe(9);
    expect(page).not.toMatch(/https?:\/\/(?!www\.w3\.org\/2000\/svg)/);
  });
});

describe('where a file cannot be written', () => {
  it('leaves a file of that name as it is, and nothing half-written beside it', async () => {
    const targetFile = join(folder, 'taken.pdf');
    writeFileSync(targetFile, 'mine');
    const work = startWork(threadOf(workEntry), 'writeReport', { report: short, form: 'pdf', targetFile });
    await expect(work.done).rejects.toMatchObject({ code: 'invalid-state' });
    expect(readFileSync(targetFile, 'utf8')).toBe('mine');
    expect(existsSync(`${targetFile}.part`)).toBe(false);
  });

  it('leaves nothing when it is cancelled', async () => {
    const targetFile = join(folder, 'cancelled.pdf');
    const work = startWork(threadOf(workEntry), 'writeReport', { report: short, form: 'pdf', targetFile });
    work.cancel();
    await expect(work.done).rejects.toMatchObject({ code: 'cancelled' });
    expect(readdirSync(folder).filter((name) => name.startsWith('cancelled'))).toEqual([]);
  });
});
