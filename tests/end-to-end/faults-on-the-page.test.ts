import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, describe, expect, it } from 'vitest';
import { readyMadeProfiles, type AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { FaultEvent, FaultKind } from '../../shared-lib/trial/trial-model.ts';
import { makeReady, setUpBench } from '../helpers/bench-in-browser.ts';
import { startPtyAmplifier, type RunningPtyAmplifier } from '../helpers/running-pty-amplifier.ts';
import { readStoredTrials, type StoredTrial } from '../helpers/read-stored-trial.ts';
import { useProgramInBrowser } from '../helpers/program-in-browser.ts';
import { openPage } from '../helpers/browser-page.ts';

const RATE_HZ = 1000;
/** By so much the amplifier is slower than it says; a machine that holds it up makes it slower still, never right. */
const RATE_ERROR_PPM = -30_000;
const [, , profile] = readyMadeProfiles as [AmplifierProfile, AmplifierProfile, AmplifierProfile];

interface FaultCase {
  readonly kind: FaultKind;
  /** Left out: it is there already, or comes with the one before. */
  readonly bringAbout?: (amplifier: RunningPtyAmplifier) => void;
  /** Its sentence, or the part that tells: on the Bench when it happens, in the stored trial and in the Logbook. */
  readonly sentence: RegExp;
  /** What the page says during the run instead, where the sentence came long before. */
  readonly saidInRun?: RegExp;
}

const RATE_OFF = /The sample rate is \d+ % off the rate in Setup\./;

const runs: readonly {
  readonly name: string;
  readonly plannedS: number;
  readonly endsAs: 'complete' | 'overload' | 'disconnect';
  readonly faults: readonly FaultCase[];
}[] = [
  {
    name: 'that comes to its end',
    plannedS: 10,
    endsAs: 'complete',
    faults: [
      // It lasts from the connection on, and is not told anew.
      { kind: 'rateOffNominal', sentence: RATE_OFF, saidInRun: /^connected, \d+.Sa\/s, not as set$/ },
      {
        kind: 'badLine',
        bringAbout: ({ simulated }) => simulated?.misbehave({ kind: 'garbage', count: 8 }),
        sentence: /\d+ lines? could not be read and (was|were) left out\./,
      },
      {
        kind: 'badChecksum',
        bringAbout: ({ simulated }) => simulated?.misbehave({ kind: 'badChecksum', count: 5 }),
        sentence: /\d+ lines? failed the checksum and (was|were) left out\./,
      },
      {
        kind: 'sequenceGap',
        bringAbout: ({ simulated }) => simulated?.misbehave({ kind: 'gap', count: 40 }),
        sentence: /\d+ samples lost on the way\. The place is kept empty/,
      },
      {
        kind: 'stuck',
        bringAbout: ({ simulated }) => simulated?.misbehave({ kind: 'stuck', durationS: 1.4 }),
        sentence: /The amplifier sends the same count again and again\. The reading is not live/,
      },
      {
        kind: 'silence',
        bringAbout: ({ simulated }) => simulated?.misbehave({ kind: 'silence', durationS: 1.5 }),
        sentence: /No line comes from .+\. Nothing is recorded meanwhile\./,
      },
      { kind: 'silenceEnded', sentence: /Lines come again after \d+\.\d\d s of silence\./ },
    ],
  },
  {
    name: 'that an overload ends',
    plannedS: 5,
    endsAs: 'overload',
    faults: [
      {
        kind: 'rail',
        bringAbout: ({ simulated }) => simulated?.misbehave({ kind: 'rail', count: 25 }),
        sentence: /The converter stood at its end for \d+ samples?\. Torque there was higher than shown/,
      },
      { kind: 'overload', sentence: /Torque reached .+, over the limit of transducer or rig\./ },
    ],
  },
  {
    name: 'that a cable ends',
    plannedS: 5,
    endsAs: 'disconnect',
    faults: [
      {
        kind: 'disconnect',
        bringAbout: (amplifier) => {
          amplifier.unplug();
        },
        sentence: /The amplifier .*was lost.+What came before is kept\./,
      },
    ],
  },
];

const running = useProgramInBrowser();
let page: Page;
let amplifier: RunningPtyAmplifier;
let complaints: string[];

afterAll(() => {
  amplifier.close();
});

/** Starts a run once tool and transducer are at rest, and pulls. */
async function startRun(plannedS: number): Promise<void> {
  const bench = amplifier.simulated?.bench;
  if (!bench) throw new Error('The amplifier should be a simulated one');
  // What the run before left: a decision, and a load that has to die away.
  const keep = page.getByRole('button', { name: /^Keep/ });
  if (await keep.isVisible()) await keep.click();
  await expect.poll(() => bench.elapsedS - bench.busyUntilS, { timeout: 60_000 }).toBeGreaterThan(1);
  await page.getByRole('group', { name: 'Next run' }).getByText(`${plannedS} s`, { exact: true }).click();
  await page.getByRole('button', { name: 'Zero now' }).click();
  await page.getByRole('button', { name: /^(Start|Repeat)/ }).click();
  await page.getByText('Pull the trigger').waitFor();
  bench.pull({ direction: 'forward', triggerS: plannedS + 0.4, delayS: 0.1 });
  await page.getByText('Keep pulling').waitFor();
}

async function waitForEnd(endsAs: (typeof runs)[number]['endsAs']): Promise<void> {
  const end = page.getByText(endsAs === 'complete' ? /^Quality: / : /\d+ samples kept\./);
  await end.first().waitFor();
}

function newestTrial(): StoredTrial {
  const newest = readStoredTrials(running.folder).at(-1);
  if (!newest) throw new Error('No trial is stored');
  return newest;
}

/** What happened in the newest trial as its page in the Logbook tells it, one text for each event. */
async function faultsInLogbook(trialId: string): Promise<string[]> {
  await page.getByRole('link', { name: 'Logbook', exact: true }).first().click();
  await page.getByRole('row').filter({ hasText: 'Tool 1' }).first().click();
  await page.waitForURL((url) => url.pathname.endsWith(trialId));
  const rows = page.getByRole('table', { name: 'Events in the order of time' }).getByRole('row');
  await rows.nth(1).waitFor();
  const texts = await rows.allInnerTexts();
  await page.getByRole('link', { name: 'Bench', exact: true }).first().click();
  return texts.slice(1);
}

function faultsOfKind({ record }: StoredTrial, wanted: FaultKind): readonly FaultEvent[] {
  return record.faults.filter(({ kind }) => kind === wanted);
}

describe('whatever goes wrong on the line', () => {
  it('is told while the bench is set up: a rate that is not as set', async () => {
    ({ page, complaints } = await openPage(running.browser, running.program.url));
    // The program's reader runs by now, and cannot inherit the device's end.
    amplifier = startPtyAmplifier({
      profile,
      rateHz: RATE_HZ,
      bench: { seed: 21 },
      clock: { rateErrorPpm: RATE_ERROR_PPM },
      linkPath: join(running.folder, 'port'),
    });
    // It goes by itself, perhaps before the setup is done.
    const told = page.getByText(RATE_OFF).first().waitFor();
    await Promise.all([told, setUpBench(page, amplifier, profile, RATE_HZ)]);
    await makeReady(page, amplifier);
  });

  it.each(runs)(
    'is told at once, stored and listed, in a run $name',
    async ({ plannedS, endsAs, faults }) => {
      await startRun(plannedS);
      for (const { bringAbout, sentence, saidInRun } of faults) {
        // Looked for from before on: some go as soon as they are over.
        const told = page
          .getByText(saidInRun ?? sentence)
          .first()
          .waitFor();
        bringAbout?.(amplifier);
        await told;
      }
      await waitForEnd(endsAs);

      const stored = newestTrial();
      const { record, recording } = stored;
      expect(record.interruption).toBe(endsAs === 'complete' ? null : endsAs);
      const listed = await faultsInLogbook(record.summary.id);
      // Times go by the rate as it was measured before the run; a machine that is held up measures less than there was.
      const recordS = (1.2 * recording.counts.length) / RATE_HZ;
      for (const { kind, sentence } of faults) {
        const events = faultsOfKind(stored, kind);
        expect(events.length, `stored faults of the kind ${kind}`).toBeGreaterThan(0);
        for (const event of events) {
          expect(event.count, `count of ${kind}`).toBeGreaterThan(0);
          expect(event.sentence).toMatch(sentence);
          expect(event.atS, `time of ${kind}`).toBeGreaterThanOrEqual(0);
          expect(event.atS, `time of ${kind}`).toBeLessThanOrEqual(recordS);
        }
        expect(listed.filter((text) => sentence.test(text)).length, `listed of ${kind}`).toBe(events.length);
      }
      expect(complaints).toEqual([]);
    },
  );
});
