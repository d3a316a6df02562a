import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readyMadeProfiles, type AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { makeReady, setUpBench } from '../helpers/bench-in-browser.ts';
import { countUserActions } from '../helpers/count-user-actions.ts';
import { findRun } from '../helpers/find-run.ts';
import { leastSamples } from '../helpers/late-writer.ts';
import { startPtyAmplifier, untilAtRest, untilMoreLines } from '../helpers/running-pty-amplifier.ts';
import { readStoredTrials } from '../helpers/read-stored-trial.ts';
import { useProgramInBrowser } from '../helpers/program-in-browser.ts';
import { openPage } from '../helpers/browser-page.ts';

const RATE_HZ = 1000;
const [, , profile] = readyMadeProfiles as [AmplifierProfile, AmplifierProfile, AmplifierProfile];

const running = useProgramInBrowser();

describe('an amplifier that is unplugged in mid-run', () => {
  it('is told at once; put back, one press repeats the run, and nothing that was recorded is lost', async () => {
    const amplifier = startPtyAmplifier({
      profile,
      rateHz: RATE_HZ,
      bench: { seed: 9 },
      linkPath: join(running.folder, 'port'),
    });
    try {
      const { page, complaints } = await openPage(running.browser, running.program.url);
      await setUpBench(page, amplifier, profile, RATE_HZ);
      await makeReady(page, amplifier);
      await page.keyboard.press('Space');
      await page.getByText('Pull the trigger').waitFor();
      amplifier.simulated?.bench.pull({ direction: 'forward', triggerS: 2, delayS: 0.1 });
      await page.getByText('Keep pulling').waitFor();
      await untilMoreLines(amplifier, RATE_HZ);
      amplifier.unplug();
      await page.getByText('Amplifier lost', { exact: true }).waitFor();
      const told = await page
        .getByText(/Amplifier lost at \d\.\d\d s\. \d+ samples kept\./)
        .first()
        .innerText();

      const actions = await countUserActions(page);
      amplifier.plugIn();
      await page.getByRole('button', { name: /^Repeat/ }).waitFor();
      // The tool lets go, and the transducer has come to rest.
      await untilAtRest(amplifier);
      await page.keyboard.press('Space');
      await page.getByText('Pull the trigger').waitFor();
      amplifier.simulated?.bench.pull({ direction: 'forward', triggerS: 5.4, delayS: 0.1 });
      await page.getByText('Keep pulling').waitFor();
      await page.getByText(/^Quality: /).waitFor();
      expect(await actions.total()).toBe(1);

      const [cut, repeated] = readStoredTrials(running.folder);
      if (!cut || !repeated) throw new Error('Both trials should be stored');
      expect(cut.record).toMatchObject({ interruption: 'disconnect', lostSlots: 0 });
      expect(repeated.record).toMatchObject({ interruption: null, lostSlots: 0 });
      // One for one what was written, and as many as were promised. It begins 1 s before onset.
      findRun(amplifier.written.counts, cut.recording.counts);
      expect(told).toContain(` ${cut.recording.counts.length} samples kept.`);
      expect(cut.recording.counts.length).toBeGreaterThan(leastSamples(amplifier.written.atUs, RATE_HZ, 1.9));
      findRun(amplifier.written.counts, repeated.recording.counts);
      expect(repeated.recording.counts.length).toBeGreaterThan(
        leastSamples(amplifier.written.atUs, RATE_HZ, 7),
      );

      await page.getByRole('link', { name: 'Logbook', exact: true }).first().click();
      const rows = page.getByRole('row').filter({ hasText: 'Tool 1' });
      await rows.nth(1).waitFor();
      expect(await rows.count()).toBe(2);
      await expect.poll(() => rows.nth(1).innerText()).toMatch(/cut|interrupted/i);
      expect(complaints).toEqual([]);
    } finally {
      amplifier.close();
    }
  });
});
