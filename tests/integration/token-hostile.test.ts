import { readdirSync, readFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { withTicket } from '../../main/hosts/loopback/window-tickets.ts';
import { openBrowser } from '../helpers/browser-page.ts';
import { type RunningProgram, startProgram } from '../helpers/running-program.ts';
import { makeDataFolder } from '../helpers/running-services.ts';

/** In a real browser, with a page of another origin beside it: what a page of the web can do to a program that runs on the same machine. */
const folder = makeDataFolder();
let program: RunningProgram;
let browser: Browser;
let otherSite: Server;
let otherOrigin: string;
let token: string;
/** What the other site was sent, address and headers. */
const atOtherSite: string[] = [];

beforeAll(async () => {
  program = await startProgram(folder.path, ['--simulated']);
  token = new URL(program.url).hash.replace('#token=', '');
  browser = await openBrowser();
  otherSite = createServer((request, response) => {
    atOtherSite.push(`${String(request.url)} ${JSON.stringify(request.headers)}`);
    response.setHeader('Content-Type', 'text/html');
    response.end('<!doctype html><title>another site</title>');
  });
  await new Promise<void>((resolve) => otherSite.listen(0, '127.0.0.1', resolve));
  otherOrigin = `http://localhost:${String((otherSite.address() as AddressInfo).port)}`;
});
afterAll(async () => {
  await browser.close();
  otherSite.close();
  await program.end();
  folder.remove();
});

/** Until the program has told the page something over its socket. */
async function letIn(page: Page): Promise<void> {
  const socket = await page.waitForEvent('websocket');
  await socket.waitForEvent('framereceived');
}

describe('the token of a window', () => {
  it('stands in no address, title, history, request, cookie or file but the one for a second start', async () => {
    const context = await browser.newContext();
    const page = await context.newPage();
    const sent: string[] = [];
    page.on('request', (request) => {
      sent.push(`${request.url()} ${JSON.stringify(request.headers())}`);
    });
    await Promise.all([letIn(page), page.goto(program.url)]);
    expect(token).toMatch(/^[\w-]{43}$/);
    expect(page.url()).not.toContain(token);
    expect(await page.title()).not.toContain(token);
    expect(await page.content()).not.toContain(token);
    // The first request is the address that was opened, as the test wrote it; a fragment is not sent.
    expect(sent.length).toBeGreaterThan(2);
    expect(sent.join('\n')).not.toMatch(/"referer":"[^"]/i);
    expect(sent.slice(1).join('\n')).not.toContain(token);
    expect(await context.cookies()).toEqual([]);

    await page.goto(`${otherOrigin}/left`);
    expect(await page.evaluate(() => document.referrer)).toBe('');
    await page.goBack();
    expect(page.url()).not.toContain(token);
    expect(atOtherSite.join('\n')).not.toContain(token);

    const withToken = readdirSync(folder.path, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile() && readFileSync(join(entry.parentPath, entry.name)).includes(token))
      .map(({ name }) => name);
    expect(withToken).toEqual(['instance.json']);
    await context.close();
  });
});

describe('the ticket of a window', () => {
  it('lets one page in, which stays in over a reload, and no second one', async () => {
    const address = withTicket(program.url, Date.now());
    const context = await browser.newContext();
    const page = await context.newPage();
    await Promise.all([letIn(page), page.goto(address)]);
    expect(page.url()).not.toContain('ticket');
    await page.locator('.primary-control button:enabled').waitFor();
    await Promise.all([letIn(page), page.reload()]);
    await page.locator('.primary-control button:enabled').waitFor();
    // Another tab of the same browser has the token from its storage, whatever its address says.
    const another = await context.newPage();
    await another.goto(address);
    await another.locator('.primary-control button:enabled').waitFor();
    await context.close();

    const other = await browser.newContext();
    const late = await other.newPage();
    await late.goto(address);
    await late.getByText('Use the window or address of this start').first().waitFor();
    expect(await late.locator('.primary-control button:enabled').count()).toBe(0);
    await other.close();
  });
});

describe('a page of another site in the same browser', () => {
  it('loads nothing of the program, frames nothing, opens no socket and learns nothing, even with the token', async () => {
    const context = await browser.newContext();
    const page = await context.newPage();
    await page.goto(`${otherOrigin}/attack`);
    const { origin, host } = new URL(program.url);
    const outcome = await page.evaluate(
      async ([target = '', socketHost = '', secret = '']) => {
        const loaded = (tag: 'script' | 'img' | 'link'): Promise<string> =>
          new Promise((resolve) => {
            const element = document.createElement(tag);
            element.addEventListener('load', () => {
              resolve('loaded');
            });
            element.addEventListener('error', () => {
              resolve('refused');
            });
            if (element instanceof HTMLLinkElement) {
              element.rel = 'stylesheet';
              element.href = `${target}/`;
            } else element.src = `${target}/icon.svg`;
            document.head.append(element);
          });
        const fetched = (mode: RequestMode): Promise<string> =>
          fetch(`${target}/`, { mode }).then(
            () => 'loaded',
            () => 'refused',
          );
        const socket = await new Promise<string>((resolve) => {
          const attempt = new WebSocket(`ws://${socketHost}/socket`, ['proofarm.1', `token.${secret}`]);
          attempt.addEventListener('open', () => {
            resolve('loaded');
          });
          attempt.addEventListener('error', () => {
            resolve('refused');
          });
        });
        const frame = document.createElement('iframe');
        frame.src = `${target}/`;
        document.body.append(frame);
        await new Promise((resolve) => frame.addEventListener('load', resolve));
        let framed = 'refused';
        try {
          if (frame.contentDocument !== null) framed = 'readable';
        } catch {
          framed = 'refused';
        }
        return [
          await loaded('script'),
          await loaded('img'),
          await loaded('link'),
          await fetched('cors'),
          await fetched('no-cors'),
          socket,
          framed,
        ];
      },
      [origin, host, token],
    );
    expect(outcome).toEqual(Array(7).fill('refused'));
    await context.close();
  });

  it('may lead to the page by a link, and holds nothing of the window that opens', async () => {
    const context = await browser.newContext();
    const page = await context.newPage();
    await page.goto(`${otherOrigin}/link`);
    const opened = context.waitForEvent('page');
    await page.evaluate((address) => {
      Object.assign(window, { held: window.open(address) });
    }, program.url);
    const led = await opened;
    await led.locator('#app > *').first().waitFor({ state: 'attached' });
    expect(await page.evaluate('held.closed')).toBe(true);
    expect(await led.evaluate('window.opener')).toBeNull();
    await context.close();
  });
});
