import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { findTestBrowser, sandboxArguments } from '../find-browser.mjs';
import { type Inspector, openInspector, valueOf } from './inspector.ts';

export interface BrowserProcess {
  readonly id: number;
  readonly type: string;
  /** Seconds of processor time. */
  readonly cpuTime: number;
}

/** The page in a browser of its own that nothing is attached to between two looks: what inspects a page all the time keeps things for it. */
export interface PageWindow {
  /** After a collection of its garbage. */
  heapBytes(): Promise<number>;
  processes(): Promise<readonly BrowserProcess[]>;
  end(): Promise<void>;
}

const LONGEST_START_MS = 60_000;

/** Errors: where the page does not show the Bench in a minute. */
export async function openPageWindow(url: string, profileFolder: string): Promise<PageWindow> {
  const browserFile = await findTestBrowser();
  if (browserFile === null) throw new Error('There is no Chromium-family browser; "npm test" gets one.');
  const child = spawn(
    browserFile,
    [
      '--headless=new',
      '--remote-debugging-port=0',
      `--user-data-dir=${profileFolder}`,
      '--window-size=1440,900',
      '--no-first-run',
      '--no-default-browser-check',
      ...sandboxArguments(),
      url,
    ],
    { stdio: 'ignore' },
  );
  const exited = once(child, 'exit');
  const inspector = await openInspector(await addressIn(profileFolder));
  await until(() => attached(inspector, url, (id) => isBenchShown(inspector, id)));
  return {
    heapBytes: () =>
      attached(inspector, url, async (sessionId) => {
        await inspector.ask('HeapProfiler.collectGarbage', {}, sessionId);
        const usage = (await inspector.ask('Runtime.getHeapUsage', {}, sessionId)) as { usedSize: number };
        return usage.usedSize;
      }),
    async processes() {
      const { processInfo } = (await inspector.ask('SystemInfo.getProcessInfo')) as {
        processInfo: BrowserProcess[];
      };
      return processInfo;
    },
    async end() {
      // Ctrl+C of a terminal ends the browser before it can be asked.
      await Promise.race([inspector.ask('Browser.close'), exited]);
      inspector.close();
      await exited;
    },
  };
}

/** Where the browser says that it can be inspected. */
async function addressIn(profileFolder: string): Promise<string> {
  const file = join(profileFolder, 'DevToolsActivePort');
  let address: string | null = null;
  await until(() => {
    const [port = '', path = ''] = existsSync(file) ? readFileSync(file, 'utf8').split('\n') : [];
    address = path === '' ? null : `ws://127.0.0.1:${port}${path}`;
    return address !== null;
  });
  return String(address);
}

async function attached<Result>(
  { ask }: Inspector,
  url: string,
  look: (sessionId: string) => Promise<Result>,
): Promise<Result> {
  const { targetInfos } = (await ask('Target.getTargets')) as {
    targetInfos: { readonly targetId: string; readonly type: string; readonly url: string }[];
  };
  const page = targetInfos.find((one) => one.type === 'page' && one.url.startsWith(new URL(url).origin));
  if (page === undefined) throw new Error('The page is not there');
  const { targetId } = page;
  const { sessionId } = (await ask('Target.attachToTarget', { targetId, flatten: true })) as {
    sessionId: string;
  };
  try {
    return await look(sessionId);
  } finally {
    await ask('Target.detachFromTarget', { sessionId });
  }
}

async function isBenchShown({ ask }: Inspector, sessionId: string): Promise<boolean> {
  const expression = `document.querySelector('.primary-control button') !== null`;
  return (await valueOf(ask, expression, sessionId)) === true;
}

async function until(condition: () => boolean | Promise<boolean>): Promise<void> {
  const endMs = performance.now() + LONGEST_START_MS;
  for (;;) {
    // As long as the browser starts, what is looked for is not there yet.
    const isSo = await Promise.resolve()
      .then(condition)
      .catch(() => false);
    if (isSo) return;
    if (performance.now() > endMs) throw new Error('The browser did not show the Bench in a minute');
    await wait(100);
  }
}
