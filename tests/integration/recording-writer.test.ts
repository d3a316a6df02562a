import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { SoundCue } from '../../shared-lib/bench-status.ts';
import type { FaultEvent } from '../../shared-lib/trial/trial-model.ts';
import {
  armFedBench,
  confirmFedSense,
  COUNTS_PER_NM,
  FED_RATE_HZ,
  type FedBench,
  startFedBench,
} from '../helpers/bench-with-fed-reader.ts';
import { findRun } from '../helpers/find-run.ts';

let bench: FedBench;
let cues: SoundCue['cue'][];
/** Every count of the run, each another than the one before, so that a piece that is missing shows. */
let fed: number[];

const BLOCK_SAMPLES = 20;

/** Rising torque in blocks of 20 ms. */
function pull(durationS: number): void {
  for (let block = 0; block < Math.round((durationS * FED_RATE_HZ) / BLOCK_SAMPLES); block += 1) {
    const torqueNm = Array.from({ length: BLOCK_SAMPLES }, (_, i) => 200 + (fed.length + i) / 100);
    fed.push(...torqueNm.map((value, index) => Math.trunc(value * COUNTS_PER_NM + (index % 2))));
    bench.feedBlock(torqueNm);
  }
}

async function pulledCountsOf(trialId: string): Promise<Int32Array> {
  const { counts } = await bench.handlers.getTrialCounts({ trialId });
  return counts.slice(counts.findIndex((count) => count >= 200 * COUNTS_PER_NM));
}

async function faultsOf(trialId: string): Promise<readonly FaultEvent[]> {
  return (await bench.handlers.getTrial({ trialId })).faults;
}

beforeEach(async () => {
  bench = await startFedBench();
  fed = [];
  cues = [];
  bench.services.onEvent((name, payload) => {
    if (name === 'soundCue') cues.push((payload as SoundCue).cue);
  });
  await confirmFedSense(bench);
});
afterEach(() => bench.close());

describe('while somebody else holds the database', () => {
  it('a trial goes on to its stop cue and its zero, and has every sample afterwards', async () => {
    await armFedBench(bench);
    pull(0.4);
    const unlock = bench.lockDatabase();
    pull(0.9);
    expect(cues).toContain('stop');
    pull(0.9);
    bench.feed(0, 1);
    expect(bench.trial('saving').step.plannedS).toBe(1);
    unlock();
    const { trialId } = await bench.untilPhase('kept');
    const counts = await pulledCountsOf(trialId);
    expect(findRun(fed, counts)).toBe(0);
    expect(counts.length).toBeGreaterThan(1.9 * FED_RATE_HZ);
    expect((await bench.handlers.getTrial({ trialId })).lostSlots).toBe(0);
  });

  it('a changed setting is stored when it is free again, and the trial does not wait for it', async () => {
    await armFedBench(bench);
    pull(0.4);
    const unlock = bench.lockDatabase();
    const updated = bench.handlers.updateSettings({ operator: 'Operator 2' });
    expect(updated).toBeInstanceOf(Promise);
    pull(0.8);
    expect(cues).toContain('stop');
    unlock();
    // The trial's own commit may hold it by then. How long a disk takes is no matter of the time that is fed.
    await updated;
    expect((await bench.handlers.getSettings({})).operator).toBe('Operator 2');
  });

  it('a disk that hangs is told, and told off when it goes on', async () => {
    await armFedBench(bench);
    const unlock = bench.lockDatabase();
    pull(0.4);
    bench.wait(2.2);
    expect(bench.status().storage.sentence).toMatch(/has not answered for 2 s/);
    unlock();
    await bench.until('a disk that writes', () => bench.status().storage.state === 'ok');
  });
});

describe('a writer thread that ends', () => {
  it('interrupts the trial; what was in memory is written by the next thread, and so is the next trial', async () => {
    await armFedBench(bench);
    pull(0.3);
    await bench.until('the trial', () => bench.database.prepare('SELECT 1 FROM trial').get() !== undefined);
    const unlock = bench.lockDatabase();
    pull(0.2);
    const killed = bench.writers[0]?.kill();
    const { trialId, reason, sentence } = await bench.untilPhase('interrupted');
    expect(reason).toBe('storageFailed');
    expect(sentence).toContain('could not be written any more');
    await killed;
    unlock();
    bench.feed(0, 2.2);
    await bench.until('its end', () => bench.status().interruptedTrialIds.includes(trialId));
    expect(await pulledCountsOf(trialId)).toEqual(Int32Array.from(fed));
    const { interruption, decisions } = await bench.handlers.getTrial({ trialId });
    expect(interruption).toBe('storageFailed');
    expect(decisions.map((decision) => decision.reason)).toEqual([
      expect.stringMatching(/^Writing to the disk failed at 0\.\d\d s\. \d+ samples kept\.$/),
    ]);

    await armFedBench(bench);
    pull(2.2);
    bench.feed(0, 1);
    await bench.untilPhase('kept');
    expect(bench.writers).toHaveLength(2);
  });
});

describe('a program that ends', () => {
  it('writes what waits and ends the record as interrupted', async () => {
    await armFedBench(bench);
    pull(0.5);
    await bench.services.close();
    const stored = bench.database
      .prepare(
        'SELECT state, interruption, (SELECT max(first_slot + slot_count) FROM raw_block) AS slots FROM trial',
      )
      .get() as { state: string; interruption: string; slots: number };
    expect(stored).toMatchObject({ state: 'interrupted', interruption: 'programEnded' });
    expect(stored.slots).toBeGreaterThanOrEqual(1.4 * FED_RATE_HZ);
  });
});

describe('the end of a trial', () => {
  it('is not an interruption where the operator stops it in the tail', async () => {
    await armFedBench(bench);
    pull(1.2);
    bench.trial('tail');
    await bench.handlers.stopTrial({});
    bench.feed(0, 1);
    const { trialId, figures } = await bench.untilPhase('kept');
    expect(figures.quality.reasons).toEqual([]);
    expect(figures.finalTorqueNm).toHaveProperty('value');
    const { interruption, slotCount } = await bench.handlers.getTrial({ trialId });
    expect(interruption).toBeNull();
    expect(slotCount).toBeLessThan(2.5 * FED_RATE_HZ);
  });

  it('has what went wrong until the rest in its record, and is not judged by it', async () => {
    await armFedBench(bench);
    pull(2.2);
    bench.trial('unloading');
    bench.wait(0.6);
    bench.feed(0, 1);
    const { trialId, figures } = await bench.untilPhase('kept');
    expect(figures.quality.verdict).toBe('good');
    const [silence] = await faultsOf(trialId);
    expect(silence?.kind).toBe('silence');
    const { slotCount } = await bench.handlers.getTrial({ trialId });
    expect(silence?.atS).toBeGreaterThan(slotCount / FED_RATE_HZ);
  });

  it('shows the figures of a cut trial once it is kept', async () => {
    await armFedBench(bench);
    pull(0.7);
    await bench.handlers.stopTrial({});
    const { trialId, sentence } = await bench.untilPhase('interrupted');
    expect(sentence).toMatch(/samples kept\. Keep it or void it/);
    expect((await bench.handlers.getTrial({ trialId })).decisions[0]?.reason).not.toContain('Keep it');
    await bench.handlers.keepTrial({ trialId });
    expect(bench.trial('kept').figures.quality.verdict).toBe('notUsable');
  });
});
