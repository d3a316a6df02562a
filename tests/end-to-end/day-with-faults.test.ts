import { join } from 'node:path';
import Database from 'better-sqlite3';
import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { readyMadeProfiles, type AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { Connection } from '../../shared-lib/api-contract.ts';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { simulatedToolNames } from '../../shared-lib/simulation/simulated-tool.ts';
import type { ReadableDatabase } from '../../main/storage/database.ts';
import { evaluateRecording } from '../../main/storage/recording-evaluation.ts';
import { makeReady, setUpBench } from '../helpers/bench-in-browser.ts';
import { connectToProgram } from '../helpers/connect-to-program.ts';
import { findRun } from '../helpers/find-run.ts';
import { pausesOver } from '../helpers/late-writer.ts';
import { useProgramInBrowser } from '../helpers/program-in-browser.ts';
import { startPtyAmplifier, type RunningPtyAmplifier } from '../helpers/running-pty-amplifier.ts';
import { readStoredTrials } from '../helpers/read-stored-trial.ts';
import { openPage } from '../helpers/browser-page.ts';

const RATE_HZ = 2000;
const [, , profile] = readyMadeProfiles as [AmplifierProfile, AmplifierProfile, AmplifierProfile];
const tools = simulatedToolNames.slice(0, 3);

const running = useProgramInBrowser();

/** Three tools, three steps of half a second, three rounds, nothing else. */
async function makeSheet(connection: Connection): Promise<void> {
  const setupIds: string[] = [];
  for (const [index, name] of tools.entries()) {
    const tool = {
      id: `tool-${index}`,
      name: `${name} (demo)`,
      supply: 'mains',
      declaredVibrationMps2: 10,
      declaredNoiseDbA: null,
      isArchived: false,
    } as const;
    await connection.request('saveTool', { tool });
    const setup = { id: `setup-${index}`, toolId: tool.id, packId: null, setting: '', socket: null };
    await connection.request('saveSetup', { setup: { ...setup, isArchived: false } });
    setupIds.push(setup.id);
  }
  const step = { kind: 'tighten', plannedS: 0.5, preloadNm: null, repeats: 1, restS: 0 } as const;
  const sheet = await connection.request('makeRunSheet', {
    draft: {
      name: 'A day with faults (demo)',
      plan: {
        id: 'short',
        name: 'Short',
        steps: [
          { ...step, direction: 'forward' },
          { ...step, direction: 'reverse' },
          { ...step, direction: 'forward', plannedS: 0.6 },
        ],
        conditioningPulls: 0,
        rounds: 3,
        roundsToPublish: 3,
        reference: null,
        asks: [],
      },
      setupIds,
      referenceSetupId: null,
      order: 'rounds',
      seed: 11,
    },
  });
  await connection.request('openRunSheet', { runSheetId: sheet.id });
}

class Day {
  readonly #connection: Connection;
  readonly #page: Page;
  readonly #amplifier: RunningPtyAmplifier;

  constructor(connection: Connection, page: Page, amplifier: RunningPtyAmplifier) {
    this.#connection = connection;
    this.#page = page;
    this.#amplifier = amplifier;
  }

  status(): Promise<BenchStatus> {
    return this.#connection.request('getStatus', {});
  }

  /** Throws with what the bench then was, where it does not come to that. */
  async until(what: string, isSo: (status: BenchStatus) => boolean): Promise<BenchStatus> {
    return this.#poll(what, 30_000, isSo, () => this.#page.waitForTimeout(50));
  }

  /** A person presses again where the bench has refused because something still moves. */
  async press(what: string, isDone: (status: BenchStatus) => boolean): Promise<BenchStatus> {
    return this.#poll(what, 60_000, isDone, async () => {
      await this.#page.keyboard.press('Space');
      await this.#page.waitForTimeout(500);
    });
  }

  async #poll(
    what: string,
    limitMs: number,
    isSo: (status: BenchStatus) => boolean,
    act: () => Promise<void>,
  ): Promise<BenchStatus> {
    const endMs = performance.now() + limitMs;
    for (;;) {
      await act();
      const status = await this.status();
      if (isSo(status)) return status;
      if (performance.now() > endMs) {
        const { amplifier, obstacles, trial, runSheet, recentFaults } = status;
        const seen = { obstacles, trial, runSheet, amplifier, recentFaults };
        throw new Error(`${what} did not come in ${limitMs / 1000} s; the bench is ${JSON.stringify(seen)}`);
      }
    }
  }

  /** One pull of the current entry, with what goes wrong in it; the sheet goes on by itself where it is kept. */
  async pull(fault: Fault | undefined): Promise<void> {
    const before = await this.status();
    const entry = before.runSheet?.current;
    if (!entry) throw new Error('The sheet is over');
    if (before.runSheet?.isSetupInHand === false) {
      await this.press('the setup in hand', ({ runSheet }) => runSheet?.isSetupInHand === true);
    }
    await this.press('the countdown', ({ trial }) => trial.phase === 'countdown');
    await this.until('the go', ({ trial }) => trial.phase === 'waiting');
    const tool = tools.find((name) => entry.step.toolName.startsWith(name));
    if (!tool) throw new Error(`There is no ${entry.step.toolName}`);
    const { direction, plannedS } = entry.step;
    this.#amplifier.simulated?.bench.pull({ tool, direction, triggerS: plannedS + 0.3, delayS: 0.1 });
    await this.until('the run', ({ trial }) => trial.phase === 'run');
    await fault?.inRun?.(this.#amplifier, this.#page);
    const isOver = ({ trial }: BenchStatus): boolean =>
      trial.phase === 'kept' || trial.phase === 'reviewing' || trial.phase === 'interrupted';
    const { trial } = await this.until('the end of the run', isOver);
    const reasons = trial.phase === 'reviewing' ? trial.quality.reasons : [];
    const isOnlyLate = reasons.every(({ code }) => code === 'rateOffNominal' || code === 'silence');
    // A busy machine writes late; an operator would look at that and keep the trial.
    if (trial.phase !== 'reviewing' || !isOnlyLate || pausesOver(this.#amplifier, 50).length === 0) {
      expect(trial.phase, JSON.stringify({ fault: fault?.name, reasons })).toBe(fault?.endsAs ?? 'kept');
    }
    if (trial.phase === 'reviewing') {
      await this.press('the decision', (status) => status.trial.phase === 'kept');
    }
    await fault?.afterwards?.(this.#amplifier, this.#page, this);
  }
}

interface Fault {
  readonly name: string;
  readonly endsAs: 'kept' | 'reviewing' | 'interrupted';
  readonly inRun?: (amplifier: RunningPtyAmplifier, page: Page) => Promise<void> | void;
  readonly afterwards?: (amplifier: RunningPtyAmplifier, page: Page, day: Day) => Promise<void>;
}

/** By the number of the pull, from 1. */
const faults: ReadonlyMap<number, Fault> = new Map([
  [
    3,
    {
      name: 'twelve samples lost on the way',
      endsAs: 'reviewing',
      inRun: ({ simulated }) => simulated?.misbehave({ kind: 'gap', count: 12 }),
    },
  ],
  [
    7,
    {
      name: 'checksums that do not hold',
      endsAs: 'reviewing',
      inRun: ({ simulated }) => simulated?.misbehave({ kind: 'badChecksum', count: 6 }),
    },
  ],
  [
    11,
    {
      name: 'the plug pulled',
      endsAs: 'interrupted',
      inRun: (amplifier) => amplifier.unplug(),
      async afterwards(amplifier, page, day) {
        amplifier.plugIn();
        await day.until('the amplifier again', (status) => status.amplifier.link === 'connected');
        // The tool lets go, and the transducer comes to rest.
        await page.waitForTimeout(2000);
      },
    },
  ],
  [
    15,
    {
      name: 'the page reloaded',
      endsAs: 'kept',
      async inRun(_amplifier, page) {
        await page.reload();
      },
    },
  ],
  [
    19,
    {
      name: 'bytes of noise',
      endsAs: 'reviewing',
      inRun: ({ simulated }) => simulated?.misbehave({ kind: 'garbage', count: 5 }),
    },
  ],
  [
    23,
    {
      name: 'a pull that the operator voids',
      endsAs: 'kept',
      async afterwards(_amplifier, page, day) {
        await page.getByRole('button', { name: 'Void', exact: true }).click();
        await page.getByText('Socket or adapter slipped').click();
        await page.getByRole('dialog').getByRole('button', { name: 'Void this trial' }).click();
        await day.until('the void', ({ trial }) => trial.phase === 'kept' && trial.isVoided);
      },
    },
  ],
]);

describe('a day at the bench over a real serial device', () => {
  it('goes through a sheet of 27 trials with faults thrown in, and file, Logbook and a fresh computation agree', async () => {
    const amplifier = startPtyAmplifier({
      profile,
      rateHz: RATE_HZ,
      bench: { seed: 21 },
      linkPath: join(running.folder, 'port'),
    });
    const connection = connectToProgram(running.program.url);
    try {
      const { page } = await openPage(running.browser, running.program.url);
      await setUpBench(page, amplifier, profile, RATE_HZ);
      await makeReady(page, amplifier);
      await page.waitForTimeout(2500);
      await makeSheet(connection);
      const day = new Day(connection, page, amplifier);
      let pulls = 0;
      while ((await day.status()).runSheet?.current) {
        pulls += 1;
        await day.pull(faults.get(pulls));
      }
      // One was cut short and one voided, and both were pulled again.
      expect(pulls).toBe(29);

      const stored = readStoredTrials(running.folder);
      expect(stored).toHaveLength(29);
      expectOneKeptTrialPerEntry(stored);
      expectWhatWasWritten(stored, amplifier);
      expectTheSameFiguresAnew(stored);
      await expectTheLogbookToAgree(page, stored);
      await page.close();
    } finally {
      connection.close();
      amplifier.close();
    }
  }, 420_000);
});

type Stored = ReturnType<typeof readStoredTrials>;

function expectOneKeptTrialPerEntry(stored: Stored): void {
  const kept = stored.filter(({ record: { summary } }) => summary.state === 'kept' && !summary.isVoided);
  expect(kept).toHaveLength(27);
  expect(new Set(kept.map(({ record }) => record.conditions.place?.entryId)).size).toBe(27);
  expect(stored.filter(({ record }) => record.interruption === 'disconnect')).toHaveLength(1);
  expect(stored.filter(({ record }) => record.summary.isVoided)).toHaveLength(1);
}

/** Every stored count is one that the amplifier has written at its place; where lines were lost there is a gap instead. */
function expectWhatWasWritten(stored: Stored, amplifier: RunningPtyAmplifier): void {
  const lost = stored.map(({ record }) => record.lostSlots).filter((count) => count > 0);
  expect(lost).toHaveLength(3);
  expect(lost).toContain(12);
  for (const { record, recording } of stored) {
    if (record.lostSlots === 0) findRun(amplifier.written.counts, recording.counts);
  }
}

function expectTheSameFiguresAnew(stored: Stored): void {
  const database = new Database(join(running.folder, 'proofarm.db'), {
    readonly: true,
  }) as unknown as ReadableDatabase;
  try {
    for (const { record, recording } of stored) {
      if (record.figures === null) continue;
      const anew = evaluateRecording(database, record, recording, {
        sampleRateHz: record.sampleRateHz ?? Number.NaN,
        zeroAfterCounts: record.zeroAfterCounts,
        levelsNm: record.figures.timeToLevel.map(({ levelNm }) => levelNm),
      });
      expect(anew).toEqual(record.figures);
    }
  } finally {
    database.close();
  }
}

async function expectTheLogbookToAgree(page: Page, stored: Stored): Promise<void> {
  await page.setViewportSize({ width: 1440, height: 2400 });
  await page.getByRole('link', { name: 'Logbook', exact: true }).first().click();
  const rows = page.getByRole('row').filter({ hasText: '(demo)' });
  await expect.poll(() => rows.count()).toBe(stored.length);
  const texts = await rows.allInnerTexts();
  for (const [index, { record }] of stored.toReversed().entries()) {
    const text = texts[index] ?? '';
    expect(text).toContain(record.summary.step.toolName);
    const sustained = record.summary.sustainedTorqueNm;
    const shown = /^(\d+(?:\.\d+)?)$/m.exec(text)?.[1];
    if (sustained === null) expect(shown).toBeUndefined();
    else expect(Math.abs(Number(shown) - sustained), text).toBeLessThanOrEqual(0.501);
  }
}
