import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { SyncMark } from '../../shared-lib/overlay/overlay-model.ts';
import {
  armFedBench,
  confirmFedSense,
  COUNTS_PER_NM,
  type FedBench,
  startFedBench,
} from '../helpers/bench-with-fed-reader.ts';

const FRAME_S = 1 / 60;
const BLOCK_S = 0.02;
/** A block of the fed bench has 20 samples; one more in each of 250 blocks is 200 ppm. */
const SAMPLES = 20;
const BLOCKS_TO_ONE_MORE = 250;

describe('sync marks', () => {
  let bench: FedBench;
  let fedBlocks = 0;

  beforeEach(async () => {
    fedBlocks = 0;
    bench = await startFedBench({ plannedS: 2 });
    await confirmFedSense(bench);
  });
  afterEach(() => bench.close());

  /** As an amplifier whose clock runs 200 ppm fast would send. Returns how long that took, by the host's clock. */
  const feedFast = (torqueNm: number, durationS: number): void => {
    for (let block = 0; block < Math.round(durationS / BLOCK_S); block += 1) {
      fedBlocks += 1;
      const samples = fedBlocks % BLOCKS_TO_ONE_MORE === 0 ? SAMPLES + 1 : SAMPLES;
      bench.feedBlock(Array.from({ length: samples }, () => torqueNm));
    }
  };
  const pullFast = async (): Promise<void> => {
    await armFedBench(bench);
    feedFast(200, 2.5);
    feedFast(0, 1.5);
    const done = () => ['kept', 'reviewing'].includes(bench.status().trial.phase);
    await bench.until('the end of the pull', done);
    const { trial } = bench.status();
    if (trial.phase === 'reviewing') await bench.handlers.keepTrial({ trialId: trial.trialId });
  };
  const marks = async (): Promise<SyncMark[]> => (await bench.handlers.listSyncMarks({})).marks;

  it('tie pulls of ten minutes within a frame of a camera, with a sample clock that is off by 200 ppm', async () => {
    feedFast(0, 0.5);
    const mark = await bench.handlers.giveSyncMark({});
    // The instant of the mark lies a little ahead, so that windows can show it then.
    let sinceMarkS = -0.25;
    const letPass = (torqueNm: number, durationS: number): void => {
      feedFast(torqueNm, durationS);
      sinceMarkS += durationS;
    };
    const trueOnsetsS: number[] = [];
    for (const pauseS of [5, 290, 290]) {
      letPass(0, pauseS);
      // Arming takes 3.6 s of fed time; the pull begins with the next block.
      const before = sinceMarkS + 3.6;
      await pullFast();
      trueOnsetsS.push(before);
      sinceMarkS = before + 4;
    }
    expect(sinceMarkS).toBeGreaterThan(590);
    const [listed] = await marks();
    expect(listed).toMatchObject({ id: mark.id, monotonicUs: mark.monotonicUs });
    expect(listed?.onsets.map(({ toolName }) => toolName)).toEqual(['Hollin H5', 'Hollin H5', 'Hollin H5']);
    for (const [index, { trialId, afterS }] of (listed?.onsets ?? []).entries()) {
      const trueS = trueOnsetsS[index] ?? Number.NaN;
      // Onset is the curve's zero; a step of torque reads early by up to half the measuring window of 101 ms.
      expect(afterS - trueS).toBeGreaterThan(-0.051);
      expect(afterS - trueS).toBeLessThan(0);
      // The curve itself lies right: its step is where the torque rose.
      const { onsetSlot, sampleRateHz } = await bench.handlers.getTrial({ trialId });
      const { counts } = await bench.handlers.getTrialCounts({ trialId });
      const stepSlot = counts.findIndex((count) => count > 100 * COUNTS_PER_NM);
      const stepS = afterS + (stepSlot - onsetSlot) / (sampleRateHz ?? Number.NaN);
      expect(Math.abs(stepS - trueS)).toBeLessThan(FRAME_S / 4);
    }
  });

  it('are told to all windows ahead of their instant, and stored with their session', async () => {
    const told: SyncMark[] = [];
    bench.services.onEvent((name, payload) => {
      if (name === 'syncMarkGiven') told.push(payload as SyncMark);
    });
    const mark = await bench.handlers.giveSyncMark({});
    expect(told).toEqual([mark]);
    expect(mark.sessionId).toBe(bench.status().session?.id);
    expect(bench.database.prepare('SELECT * FROM sync_mark').all()).toEqual([
      { id: mark.id, at: mark.at, monotonic_us: mark.monotonicUs, session_id: mark.sessionId },
    ]);
  });

  it('given before the first pull tie the session that begins with it, and no session of another start of the computer', async () => {
    // A day before, when the computer had just been started: the calendar says that this is another run of its clock.
    bench.database
      .prepare('INSERT INTO sync_mark (id, at, monotonic_us, session_id) VALUES (?, ?, ?, NULL)')
      .run('before', new Date(Date.UTC(2025, 11, 31)).toISOString(), 500_000);
    await pullFast();
    expect((await marks())[0]?.onsets).toEqual([]);
    const earlier = new Date(Date.parse(bench.status().session?.startedAt ?? '') - 10).toISOString();
    bench.database
      .prepare('INSERT INTO sync_mark (id, at, monotonic_us, session_id) VALUES (?, ?, ?, NULL)')
      .run('same', earlier, (Date.parse(earlier) - Date.UTC(2026, 0, 1)) * 1000);
    const [same, before] = await marks();
    expect(same?.onsets.map(({ toolName }) => toolName)).toEqual(['Hollin H5']);
    expect(before?.onsets).toEqual([]);
  });

  it('come at most once a second, so that no screen flickers', async () => {
    await bench.handlers.giveSyncMark({});
    await expect(Promise.resolve(bench.handlers.giveSyncMark({})).then()).rejects.toMatchObject({
      code: 'invalid-state',
    });
    bench.wait(1);
    await bench.handlers.giveSyncMark({});
    expect(await marks()).toHaveLength(2);
  });

  it('say so where one was shown and could not be stored', async () => {
    const release = bench.lockDatabase();
    const given = Promise.resolve(bench.handlers.giveSyncMark({}));
    const outcome = expect(given).rejects.toMatchObject({
      code: 'database-locked',
      message: expect.stringMatching(/^The mark was shown, but it could not be stored/) as string,
    });
    for (let round = 0; round < 120; round += 1) {
      bench.wait(0.1);
      await new Promise((resolve) => setImmediate(resolve));
    }
    await outcome;
    release();
    expect(await marks()).toEqual([]);
  });
});
