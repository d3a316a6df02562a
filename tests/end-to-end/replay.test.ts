import { execFile } from 'node:child_process';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { PNG } from 'pngjs';
import yauzl from 'yauzl';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Download, Page } from 'playwright-core';
import type { WebSocketConnection } from '../../renderer/api-client/websocket-connection.ts';
import { axeComplaints } from '../helpers/axe-complaints.ts';
import { connectToProgram } from '../helpers/connect-to-program.ts';
import { freePort } from '../helpers/free-port.ts';
import { useProgramInBrowser } from '../helpers/program-in-browser.ts';
import { pullByConnection } from '../helpers/pull-by-connection.ts';
import { readWebm } from '../helpers/read-webm.ts';
import { openPage } from '../helpers/browser-page.ts';

const running = useProgramInBrowser();
let connection: WebSocketConnection;
const trialIds: string[] = [];

const patience = { timeout: 60_000 };
/** So short that a film of it has few frames. */
const PLANNED_S = 0.5;
const STANDS_S = 2;

beforeAll(async () => {
  connection = connectToProgram(running.program.url);
  await connection.request('connectSimulatedBench', {});
  for (const toolName of ['Hollin H5 (demo)', 'Corvane C8 (demo)']) {
    await connection.request('updateSettings', {
      step: { toolName, kind: 'tighten', direction: 'forward', plannedS: PLANNED_S },
    });
    trialIds.push(await pullByConnection(connection));
  }
});
afterAll(() => connection.close());

async function openReplay(
  prepare?: (page: Page) => Promise<unknown>,
): Promise<{ page: Page; complaints: string[] }> {
  const url = new URL(running.program.url);
  url.pathname = '/share/replay';
  url.search = `?subject=${encodeURIComponent(JSON.stringify({ kind: 'everything' }))}`;
  const opened = await openPage(running.browser, 'about:blank');
  await prepare?.(opened.page);
  await opened.page.goto(url.href);
  await opened.page.getByRole('button', { name: 'Play at true speed' }).waitFor();
  return opened;
}

const press = (page: Page, name: string): Promise<void> => page.getByRole('button', { name }).click();
const choose = (page: Page, group: string, option: string): Promise<void> =>
  page.getByRole('radiogroup', { name: group }).getByText(option, { exact: true }).click();
const chooseSquare = async (page: Page): Promise<void> => {
  await page.getByRole('button', { name: /Format$/ }).click();
  await page.getByRole('option', { name: /^Square/ }).click();
};

async function save(page: Page, name: string): Promise<{ name: string; bytes: Buffer; path: string }> {
  const waiting: Promise<Download> = page.waitForEvent('download', { timeout: 250_000 });
  await press(page, name);
  const download = await waiting;
  const path = join(running.folder, download.suggestedFilename());
  await download.saveAs(path);
  return { name: download.suggestedFilename(), bytes: await readFile(path), path };
}

/** By an unzip that is not what wrote it. */
function unzip(bytes: Buffer): Promise<Map<string, Buffer>> {
  return new Promise((resolve, reject) => {
    yauzl.fromBuffer(bytes, { lazyEntries: true }, (error, zip) => {
      if (error) {
        reject(error);
        return;
      }
      const files = new Map<string, Buffer>();
      zip.on('entry', (entry: yauzl.Entry) => {
        zip.openReadStream(entry, (failure, stream) => {
          if (failure) {
            reject(failure);
            return;
          }
          const chunks: Buffer[] = [];
          stream.on('data', (chunk: Buffer) => chunks.push(chunk));
          stream.on('end', () => {
            files.set(entry.fileName, Buffer.concat(chunks));
            zip.readEntry();
          });
        });
      });
      zip.on('end', () => resolve(files));
      zip.on('error', reject);
      zip.readEntry();
    });
  });
}

/** What ffprobe says of a film; null where this machine has none. */
async function probe(path: string): Promise<Record<string, string> | null> {
  try {
    const { stdout } = await promisify(execFile)('ffprobe', [
      ...['-v', 'error', '-of', 'default=noprint_wrappers=1'],
      ...[
        '-show_entries',
        'stream=codec_name,width,height,r_frame_rate:stream_tags=alpha_mode:format=duration',
      ],
      path,
    ]);
    return Object.fromEntries(
      stdout
        .trim()
        .split('\n')
        .map((line) => line.split('=', 2) as [string, string]),
    );
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return null;
    throw error;
  }
}

describe('a replay', () => {
  it('plays by the clock, can be held and moved, and takes one to five trials', async () => {
    const { page, complaints } = await openReplay();
    const time = page.locator('.replay-time');
    await expect.poll(() => time.innerText()).toBe('0.50\u202fs');
    await page.getByRole('slider', { name: 'Time from onset' }).fill('0.2');
    expect(await time.innerText()).toBe('0.20\u202fs');
    await press(page, 'Play at true speed');
    await expect.poll(() => time.innerText(), patience).toBe('0.50\u202fs');
    await page.getByRole('button', { name: 'Play at true speed' }).waitFor();
    await page.getByText('Trials, one to five at a time: 2 of 2 chosen').waitFor();
    await page.getByText('Corvane C8 (demo)', { exact: true }).last().click();
    await page.getByText('1 of 2 chosen').waitFor();
    expect(await axeComplaints(page)).toEqual([]);
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('shows of a trial what it is by now, also where another window has it read by another calibration', async () => {
    const { page, complaints } = await openReplay();
    const picture = page.locator('.replay-canvas');
    const words = (): Promise<string> => picture.getAttribute('aria-label').then((label) => label ?? '');
    await expect.poll(words, patience).toMatch(/Calibration “Simulated bench.+Sa\/s\./);
    expect(await words()).not.toContain('Read anew');
    const { calibrations } = await connection.request('listCalibrations', {});
    const [before] = calibrations;
    if (before?.forward == null) throw new Error('The simulated bench has its calibration');
    // A hundredth more of torque for the same counts.
    const counts = Math.round(990 / before.forward.gainNmPerCount);
    const { id: after } = await connection.request('saveCalibration', {
      label: 'Read anew (demo)',
      input: { method: 'direct', zeroCounts: 0, forward: { torqueNm: 1000, counts }, reverse: null },
      enteredUncertaintyPercent: 0.8,
      note: '',
      supersedeReason: 'Another report (demo).',
    });
    const reason = 'The report came late (demo).';
    await connection.request('reassignTrials', { trialIds, calibrationId: after, reason });
    await expect.poll(words, patience).toMatch(/Calibration “Read anew \(demo\)” of .+, ±0\.80/);
    await connection.request('reassignTrials', { trialIds, calibrationId: before.id, reason });
    await expect.poll(words, patience).not.toContain('Read anew');
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('becomes a film with transparency, whose frames have the times they show', async () => {
    const { page, complaints } = await openReplay();
    await chooseSquare(page);
    const { name, bytes, path } = await save(page, 'Save video (WebM)');
    expect(name).toMatch(/simulated-replay-square-30-fps-[\d-]+\.webm$/);
    const film = readWebm(bytes);
    const frames = Math.ceil((PLANNED_S + 0.04 * PLANNED_S) * 30) + 1 + STANDS_S * 30;
    expect(film).toMatchObject({
      docType: 'webm',
      codec: 'V_VP9',
      widthPx: 1080,
      heightPx: 1080,
      alphaMode: 1,
    });
    expect(film.timestampsMs).toHaveLength(frames);
    expect(film.framesWithAlpha).toBe(frames);
    film.timestampsMs.forEach((timestampMs, frame) => {
      expect(Math.abs(timestampMs - (frame * 1000) / 30)).toBeLessThanOrEqual(0.5);
    });
    expect(film.durationS).toBeCloseTo(frames / 30, 2);
    const probed = await probe(path);
    if (probed !== null) {
      expect(probed).toMatchObject({
        codec_name: 'vp9',
        width: '1080',
        height: '1080',
        r_frame_rate: '30/1',
        'TAG:alpha_mode': '1',
      });
      expect(Number(probed['duration'])).toBeCloseTo(frames / 30, 2);
    }
    await page.getByText(`Handed to this window's downloads: ${name}`).waitFor();
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('is cancelled without a file', async () => {
    const { page } = await openReplay();
    let downloads = 0;
    page.on('download', () => (downloads += 1));
    await choose(page, 'Frames', '60 frames/s');
    await press(page, 'Save video (WebM)');
    await page.getByText('Making the video').waitFor();
    await press(page, 'Cancel');
    await page.getByText('Cancelled. Nothing was saved.').waitFor();
    expect(downloads).toBe(0);
    await page.close();
  });

  it('says so where the browser has no encoder, and becomes pictures with transparency all the same', async () => {
    const { page } = await openReplay((opened) => opened.addInitScript('delete globalThis.VideoEncoder'));
    await page.getByText('This browser has no video encoder that keeps transparency').waitFor();
    expect(await page.getByRole('button', { name: 'Save video (WebM)' }).count()).toBe(0);
    await chooseSquare(page);
    const { name, bytes } = await save(page, 'Save PNG sequence (ZIP)');
    expect(name).toMatch(/\.zip$/);
    const files = await unzip(bytes);
    const frames = Math.ceil((PLANNED_S + 0.04 * PLANNED_S) * 30) + 1 + STANDS_S * 30;
    expect([...files.keys()].filter((file) => file.endsWith('.png'))).toHaveLength(frames);
    expect(files.get('frames.txt')?.toString()).toContain(`${frames} frames of 1080 x 1080 px`);
    const pictures = ['frame-00002.png', 'frame-00010.png', `frame-000${frames}.png`].map((file) =>
      PNG.sync.read(files.get(file) ?? Buffer.alloc(0)),
    );
    const opaque = pictures.map(({ width, height, data }) => {
      expect([width, height]).toEqual([1080, 1080]);
      expect(data[3]).toBe(0);
      return data.filter((_, index) => index % 4 === 3).filter((alpha) => alpha === 255).length;
    });
    // The curves grow.
    expect(opaque[1]).toBeGreaterThan(opaque[0] ?? Infinity);
    expect(opaque[2]).toBeGreaterThan(opaque[1] ?? Infinity);
    await page.close();
  });

  it('plays on the overlay, which says what each run came to at the end', async () => {
    const port = await freePort();
    const { url } = await connection.request('setOverlay', { isOn: true, port });
    const { page } = await openReplay();
    const { page: overlay } = await openPage(running.browser, url ?? '');
    await overlay.getByText('simulated bench').waitFor();
    await press(page, 'Play it on the overlay');
    await overlay.getByText('what each run came to').waitFor();
    for (const tool of ['Hollin H5 (demo)', 'Corvane C8 (demo)']) {
      expect(await overlay.getByRole('listitem').filter({ hasText: tool }).innerText()).toMatch(
        /\d\u202fN·m/,
      );
    }
    await page.getByRole('button', { name: 'Play it on the overlay' }).waitFor();
    await page.close();
    await overlay.close();
  });
});
