import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Browser } from 'playwright-core';
import { readyMadeProfiles, type AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { openDatabase } from '../../main/storage/open-database.ts';
import { readRecording } from '../../main/storage/recording-repository.ts';
import { keepWhenAsked, makeReady, setUpBench } from '../helpers/bench-in-browser.ts';
import { findRun } from '../helpers/find-run.ts';
import { startPtyAmplifier } from '../helpers/running-pty-amplifier.ts';
import { makeDataFolder } from '../helpers/running-services.ts';
import { openBrowser, openPage } from '../helpers/browser-page.ts';
import { startProgram } from '../helpers/running-program.ts';

const [counts, sequenceCounts, checked] = readyMadeProfiles as [
  AmplifierProfile,
  AmplifierProfile,
  AmplifierProfile,
];

let browser: Browser;
beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(async () => {
  await browser.close();
});

describe('the main job over a real serial device', () => {
  it.each([
    ['counts', 80, counts],
    ['sequence, time, counts, checksum', 1000, checked],
    ['sequence, counts', 10_000, sequenceCounts],
  ])(
    'lines in, curve on screen, trial kept and still there after a restart, count for count: %s, at %i lines/s',
    async (_name, rateHz, profile) => {
      const folder = makeDataFolder();
      let program = await startProgram(folder.path);
      const amplifier = startPtyAmplifier({ profile, rateHz, bench: { seed: 5 } });
      try {
        const { page, complaints } = await openPage(browser, program.url);
        await setUpBench(page, amplifier, profile, rateHz);
        await makeReady(page, amplifier);
        await page.keyboard.press('Space');
        await page.getByText('Get ready').waitFor();
        await page.getByText('Pull the trigger').waitFor();
        amplifier.simulated?.bench.pull({ direction: 'forward', triggerS: 5.4, delayS: 0.3 });
        await page.getByText('Keep pulling').waitFor();
        await expect
          .poll(() => page.evaluate(countInkedColumns), {
            message: 'columns of the live layer with a trace',
            timeout: 5000,
          })
          .toBeGreaterThan(100);
        await page.getByText(/^Quality: /).waitFor();
        await keepWhenAsked(page, page.getByText('Final torque', { exact: true }));

        await page.reload();
        await page.getByText('Final torque', { exact: true }).waitFor();
        expect(complaints).toEqual([]);
        await page.close();
        expect(await program.end()).toBe(0);

        program = await startProgram(folder.path);
        const again = await openPage(browser, program.url);
        await again.page.getByRole('link', { name: 'Logbook', exact: true }).first().click();
        await again.page.getByRole('row').filter({ hasText: 'Tool 1' }).click();
        await again.page.getByText('Final torque', { exact: true }).first().waitFor();
        const trialId = new URL(again.page.url()).pathname.split('/').at(-1) ?? '';
        expect(again.complaints).toEqual([]);
        await again.page.close();
        expect(await program.end()).toBe(0);

        const database = openDatabase({
          filePath: join(folder.path, 'proofarm.db'),
          backupFolder: join(folder.path, 'backups'),
          now: () => new Date(),
          log: { info: () => undefined, warn: () => undefined },
        });
        const recording = readRecording(database, trialId);
        database.close();
        expect(recording.gaps).toEqual([]);
        const first = findRun(amplifier.written.counts, recording.counts);
        expect(amplifier.written.counts.slice(first, first + recording.counts.length)).toEqual([
          ...recording.counts,
        ]);
        expect(recording.counts.length).toBeGreaterThan(4 * rateHz);
      } finally {
        amplifier.close();
        await program.end();
        folder.remove();
      }
    },
  );
});

/** Runs in the page: how many pixel columns of the topmost canvas of the live curve carry ink. */
function countInkedColumns(): number {
  const canvases = [...document.querySelectorAll('canvas')];
  const layer = canvases[canvases.length - 1];
  const context = layer?.getContext('2d');
  if (!layer || !context) return 0;
  const { data } = context.getImageData(0, 0, layer.width, layer.height);
  const columns = new Set<number>();
  for (let pixel = 0; pixel < data.length / 4; pixel += 1) {
    if ((data[pixel * 4 + 3] ?? 0) > 0) columns.add(pixel % layer.width);
  }
  return columns.size;
}
