import type { CDPSession, Page } from 'playwright-core';

/** Processor time of a page's main thread, and the frames that it made. */
export interface PageWork {
  readonly cpuMs: number;
  readonly frames: number;
}

export interface PageMeter {
  look(): Promise<PageWork>;
}

declare global {
  interface Window {
    /** Frames in which the page had something to do. */
    framesMade: number;
  }
}

/** Before the page is loaded: counts frames by what the page itself asks of `requestAnimationFrame`. */
export async function countFrames(page: Page): Promise<void> {
  await page.addInitScript(() => {
    window.framesMade = 0;
    const ask = window.requestAnimationFrame.bind(window);
    let last = -1;
    window.requestAnimationFrame = (callback) =>
      ask((frameMs) => {
        if (frameMs !== last) window.framesMade += 1;
        last = frameMs;
        callback(frameMs);
      });
  });
}

export async function openPageMeter(page: Page): Promise<PageMeter> {
  const session: CDPSession = await page.context().newCDPSession(page);
  await session.send('Performance.enable', { timeDomain: 'threadTicks' });
  return {
    async look() {
      const { metrics } = await session.send('Performance.getMetrics');
      const threadTime = metrics.find(({ name }) => name === 'ThreadTime');
      if (threadTime === undefined)
        throw new Error('This browser does not say how much time its main thread took');
      return { cpuMs: threadTime.value * 1000, frames: await page.evaluate(() => window.framesMade) };
    },
  };
}

export function cpuPerFrameMs(before: PageWork, after: PageWork): number {
  return (after.cpuMs - before.cpuMs) / (after.frames - before.frames);
}
