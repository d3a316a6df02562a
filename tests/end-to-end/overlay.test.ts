import net from 'node:net';
import { PNG } from 'pngjs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import type { WebSocketConnection } from '../../renderer/api-client/websocket-connection.ts';
import { axeComplaints } from '../helpers/axe-complaints.ts';
import { connectToProgram } from '../helpers/connect-to-program.ts';
import { freePort } from '../helpers/free-port.ts';
import { useProgramInBrowser } from '../helpers/program-in-browser.ts';
import { pullByConnection } from '../helpers/pull-by-connection.ts';
import { openPage } from '../helpers/browser-page.ts';

const running = useProgramInBrowser();
let connection: WebSocketConnection;
let port: number;

/** A busy machine takes its time. */
const patience = { timeout: 60_000 };

beforeAll(async () => {
  connection = connectToProgram(running.program.url);
  await connection.request('connectSimulatedBench', {});
  await connection.request('updateSettings', {
    step: { toolName: 'Hollin H5 (demo)', kind: 'tighten', direction: 'forward', plannedS: 2 },
  });
  port = await freePort();
});
afterAll(() => connection.close());

async function openShare(): Promise<{ page: Page; complaints: string[] }> {
  const url = new URL(running.program.url);
  url.pathname = '/share/overlay';
  return openPage(running.browser, url.href);
}

/** How a capture program sees it: without any ground of the browser's own. */
async function pictureOf(page: Page): Promise<PNG> {
  return PNG.sync.read(await page.screenshot({ omitBackground: true }));
}

function alphasOf({ data }: PNG): number[] {
  return Array.from({ length: data.length / 4 }, (_, index) => data[4 * index + 3] ?? 0);
}

function shareOf(values: readonly number[], isMeant: (value: number) => boolean): number {
  return values.filter(isMeant).length / values.length;
}

/** A flash is shorter than a test may look away. */
function countFlashes(): void {
  const flash = document.querySelector<HTMLElement>('.sync-flash');
  if (flash === null) throw new Error('The page has nothing to flash with');
  new MutationObserver(() => {
    const isOn = flash.dataset['isFlashing'] === 'true' && getComputedStyle(flash).display === 'block';
    document.body.dataset['flashes'] = [document.body.dataset['flashes'], isOn ? 'on' : 'off']
      .filter(Boolean)
      .join(' ');
  }).observe(flash, { attributes: true });
}

describe('the overlay', () => {
  it('is switched on in Share, lies over a picture without a ground, and shows a result once it is kept', async () => {
    const { page: share, complaints } = await openShare();
    const field = share.getByRole('textbox', { name: 'Port' });
    await field.fill(String(port));
    await share.getByRole('button', { name: 'Use this port' }).click();
    await share.getByText('Serve the overlay on this computer').click();
    const address = share.getByText(`http://127.0.0.1:${port}/#token=`);
    await address.waitFor();
    expect(await axeComplaints(share)).toEqual([]);

    const { page: overlay, complaints: overlayComplaints } = await openPage(
      running.browser,
      (await address.textContent()) ?? '',
    );
    await overlay.setViewportSize({ width: 1280, height: 720 });
    await overlay.getByText('Hollin H5 (demo)').waitFor();
    await overlay.getByText('simulated bench').waitFor();
    await share.getByText('On. One page shows it.').waitFor();
    await pullByConnection(connection);
    await overlay.getByText('sustained torque').waitFor();
    const { trial } = await connection.request('getStatus', {});
    if (trial.phase !== 'kept') throw new Error('The trial is not kept');
    const sustained = trial.figures.sustainedTorqueNm;
    const figure = 'value' in sustained ? Math.round(sustained.value) : Number.NaN;
    await overlay.getByText(`${figure}\u202fN·m`).waitFor();

    const alphas = alphasOf(await pictureOf(overlay));
    // Above the middle there is nothing at all, and below it what can be read is opaque.
    const upper = alphas.slice(0, alphas.length * 0.4);
    expect(upper.every((alpha) => alpha === 0)).toBe(true);
    expect(shareOf(alphas, (alpha) => alpha === 0)).toBeGreaterThan(0.7);
    expect(shareOf(alphas, (alpha) => alpha === 255)).toBeGreaterThan(0.02);

    await connection.request('setOverlay', { theme: 'panel', layout: 'figures' });
    await overlay.locator('.overlay[data-theme="panel"][data-layout="figures"]').waitFor();
    const seeThrough = alphasOf(await pictureOf(overlay));
    expect(shareOf(seeThrough, (alpha) => alpha > 180 && alpha < 255)).toBeGreaterThan(0.05);
    expect(seeThrough.slice(0, 1280 * 200).every((alpha) => alpha === 0)).toBe(true);
    expect(complaints).toEqual([]);
    expect(overlayComplaints).toEqual([]);
    await share.close();
    await overlay.close();
  });

  it('shows nothing to an address with another token, and cannot be talked to', async () => {
    const { url } = await connection.request('setOverlay', { isOn: true });
    const wrong = await running.browser.newPage({ viewport: { width: 640, height: 360 } });
    const refused = wrong.waitForEvent('console', (message) => message.text().includes('403'));
    await wrong.goto(`http://127.0.0.1:${port}/#token=${'A'.repeat(43)}`);
    await refused;
    expect(alphasOf(await pictureOf(wrong)).every((alpha) => alpha === 0)).toBe(true);
    // The way of a page that has the token: whatever it sends, it is sent away without an answer.
    const outcome = await wrong.evaluate(async (address: string) => {
      const token = new URLSearchParams(new URL(address).hash.slice(1)).get('token') ?? '';
      const socket = new WebSocket(`ws://${location.host}/socket`, ['proofarm.1', `token.${token}`]);
      const kinds: string[] = [];
      socket.addEventListener('message', ({ data }) => {
        kinds.push(typeof data === 'string' ? (JSON.parse(data) as { kind: string }).kind : 'bytes');
      });
      socket.addEventListener('open', () => {
        socket.send('{"kind":"request","id":1,"name":"disconnectAmplifier","params":{}}');
      });
      const code = await new Promise<number>((resolve) => {
        socket.addEventListener('close', (event) => resolve(event.code));
      });
      return { code, kinds };
    }, url ?? '');
    expect(outcome.code).toBe(1008);
    expect(outcome.kinds).not.toContain('reply');
    expect((await connection.request('getStatus', {})).amplifier.link).toBe('connected');
    await wrong.close();
  });

  it('flashes with every window at a mark, and the mark says how long after it the onset was', async () => {
    const { url } = await connection.request('getOverlay', {});
    const { page: share } = await openShare();
    const { page: overlay } = await openPage(running.browser, url ?? '');
    await overlay.getByText('Hollin H5 (demo)').waitFor();
    for (const page of [share, overlay]) await page.evaluate(countFlashes);
    await share.getByRole('button', { name: 'Give a sync mark' }).click();
    for (const page of [share, overlay]) {
      // Once on and once off: it has been there and is over.
      await expect.poll(() => page.evaluate(() => document.body.dataset['flashes']), patience).toBe('on off');
    }
    const trialId = await pullByConnection(connection);
    const row = share.getByRole('row').filter({ has: share.locator(`a[href="/logbook/${trialId}"]`) });
    await expect.poll(() => row.innerText(), patience).toMatch(/^\+\u202f\d+\.\d{3}\u202fs/);
    await share.close();
    await overlay.close();
  });

  it('goes away when it is switched off, and comes back by itself without a reload', async () => {
    const { url } = await connection.request('setOverlay', { isOn: true });
    const { page: overlay } = await openPage(running.browser, url ?? '');
    const shown = overlay.locator('.overlay:not([hidden])');
    await shown.waitFor();
    await connection.request('setOverlay', { isOn: false });
    await shown.waitFor({ state: 'detached' });
    expect(alphasOf(await pictureOf(overlay)).every((alpha) => alpha === 0)).toBe(true);
    await connection.request('setOverlay', { isOn: true });
    await shown.waitFor();
    await overlay.close();
  });

  it('says in Share what to do where its port is taken', async () => {
    await connection.request('setOverlay', { isOn: false });
    const other = net.createServer((visitor) => visitor.destroy());
    await new Promise<void>((resolve) => other.listen(port, '127.0.0.1', resolve));
    const { page: share } = await openShare();
    await share.getByText('Serve the overlay on this computer').click();
    await share.getByText(/is taken by another program.*Choose another port/).waitFor();
    await share.getByText('On, but it could not be served.').waitFor();
    await new Promise((resolve) => other.close(resolve));
    await share.getByRole('button', { name: 'Try again' }).click();
    await share.getByRole('button', { name: 'Copy the address' }).waitFor();
    await share.close();
  });
});
