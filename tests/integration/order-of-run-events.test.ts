import { setTimeout as waitInRealTime } from 'node:timers/promises';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { CalibrationRun, RunProgress } from '../../shared-lib/calibration/run-model.ts';
import { type FedBench, FED_CAPACITY_NM, startFedBench } from '../helpers/bench-with-fed-reader.ts';
import { demoSetup } from '../helpers/run-setups.ts';

let bench: FedBench;
let progress: RunProgress[];

beforeEach(async () => {
  bench = await startFedBench();
  progress = [];
  bench.services.onEvent((name, payload) => {
    if (name === 'calibrationProgress') progress.push(payload as RunProgress);
  });
});
afterEach(() => bench.close());

async function run(): Promise<CalibrationRun> {
  const { run: open } = await bench.handlers.getRun({});
  if (open === null) throw new Error('No run is open');
  return open;
}

/** What was stored is found once whoever waits for it has had a turn. */
async function settle(): Promise<void> {
  await new Promise((resolve) => setImmediate(resolve));
}

/** Feeds the torque of the reading that is asked for until it is taken. */
async function feedAsked(durationS = 0.7): Promise<void> {
  const { readings, nextIndex } = await run();
  bench.feed(readings[nextIndex ?? 0]?.torqueNm ?? 0, durationS);
  await settle();
}

/** Feeds an arm with nothing on it while what waits for the database is tried again, which goes by real time. */
async function feedUntil(what: string, condition: () => boolean | Promise<boolean>): Promise<void> {
  const giveUpAt = performance.now() + 30_000;
  while (!(await condition())) {
    if (performance.now() > giveUpAt) throw new Error(`Waited in vain for: ${what}`);
    bench.feed(0, 0.1);
    await waitInRealTime(20);
  }
}

const isTaken = async (): Promise<boolean> => (await run()).taken.length > 0;

describe('while a reading is steady', () => {
  it('and another program holds the database, it is kept waiting and stored when that lets go', async () => {
    await bench.handlers.startRun({ setup: demoSetup(2) });
    const release = bench.lockDatabase();
    bench.feed(0, 1);
    await settle();
    expect((await run()).taken).toEqual([]);
    release();
    await feedUntil('the reading', isTaken);
    const { taken } = await run();
    expect(taken).toHaveLength(1);
    expect(taken[0]).toMatchObject({ index: 0, by: 'steady' });
    expect(taken[0]?.durationS).toBeCloseTo(0.5, 9);
  });

  it('and the database stays held, it is asked for once more and the reason is told', async () => {
    await bench.handlers.startRun({ setup: demoSetup(2) });
    const release = bench.lockDatabase();
    bench.feed(0, 0.7);
    const isToldWhy = (): boolean =>
      progress.some(({ flags }) => flags.some(({ code }) => code === 'not-stored'));
    await feedUntil('the reason', isToldWhy);
    release();
    await feedUntil('the reading', isTaken);
    expect((await run()).taken).toHaveLength(1);
  });

  it('and the key is pressed at the same time, it is taken once', async () => {
    const { id: runId } = await bench.handlers.startRun({ setup: demoSetup(2) });
    bench.feed(0, 0.4);
    const pressed = Promise.resolve(bench.handlers.takeReading({ runId, index: 0 }));
    bench.feed(0, 0.3);
    await pressed;
    await settle();
    const { taken, replaced } = await run();
    expect(taken.filter(({ index }) => index === 0)).toHaveLength(1);
    expect(taken[0]).toMatchObject({ by: 'key' });
    expect(taken[0]?.flags.map(({ code }) => code)).toEqual(['not-steady']);
    expect(replaced).toEqual([]);
  });

  it('and the key is pressed a moment later, takes no other one', async () => {
    const { id: runId } = await bench.handlers.startRun({ setup: demoSetup(2) });
    await feedUntil('the reading', isTaken);
    bench.feed(0, 0.1);
    const after = await bench.handlers.takeReading({ runId, index: 0 });
    expect(after).toMatchObject({ nextIndex: 1, taken: [{ index: 0, by: 'steady' }] });
    await settle();
    expect((await run()).taken).toHaveLength(1);
    expect(() => bench.handlers.takeReading({ runId, index: 2 })).toThrow('asks for another reading');
  });
});

describe('a run without samples', () => {
  it('says so, and begins the dwell anew when they come again', async () => {
    await bench.handlers.startRun({ setup: demoSetup(2, { dwellS: 2 }) });
    bench.feed(0, 1.5);
    bench.wait(1);
    expect(progress.at(-1)).toMatchObject({ phase: 'noSignal', heldS: 0, meanCounts: null });
    expect((await run()).state).toBe('running');
    expect((await run()).taken).toEqual([]);
  });

  it('takes nothing by key, and says that there is none', async () => {
    const { id: runId } = await bench.handlers.startRun({ setup: demoSetup(2) });
    expect(() => bench.handlers.takeReading({ runId, index: 0 })).toThrow('No sample has come');
  });

  it('is paused with its amplifier gone, and goes on with no other one', async () => {
    const { id: runId } = await bench.handlers.startRun({ setup: demoSetup(2) });
    await feedAsked();
    const { taken } = await run();
    const told: (CalibrationRun | null)[] = [];
    bench.services.onEvent((name, payload) => {
      if (name === 'calibrationRunChanged' && 'run' in payload) told.push(payload.run);
    });
    await bench.handlers.connectSimulatedBench({});
    bench.feed(0, 1);
    // The simulated bench has a transducer of its own, on which no run is open.
    expect(told).toEqual([null]);
    expect(await bench.handlers.getRun({})).toEqual({ run: null });
    expect(() => bench.handlers.resumeRun({ runId })).toThrow('another transducer or another amplifier');

    await bench.handlers.connectAmplifier({
      path: 'fed',
      profileId: 'counts',
      baudRate: 921_600,
      nominalRateHz: 1000,
      converterBits: 24,
    });
    bench.feed(0, 1);
    expect(await run()).toMatchObject({ state: 'paused', taken });
    expect((await bench.handlers.resumeRun({ runId })).state).toBe('running');
  });
});

describe('the optional checks', () => {
  it('warm-up is over once the zero has changed by less than 0.05 % of the capacity in ten minutes', async () => {
    const checks = { creep: false, bending: false, warmUp: true };
    await bench.handlers.startRun({ setup: demoSetup(2, { checks }) });
    // 0.1 % of the capacity in the first ten minutes, then nothing.
    for (let minute = 0; minute < 10; minute += 1) bench.feed((0.001 * FED_CAPACITY_NM * minute) / 10, 60);
    await settle();
    expect((await run()).taken).toEqual([]);
    expect(progress.at(-1)).toMatchObject({ index: 0, dwellS: 600 });
    bench.feed(0.001 * FED_CAPACITY_NM, 600);
    await settle();
    const { taken, nextIndex } = await run();
    expect(nextIndex).toBe(1);
    expect(taken[0]?.durationS).toBeCloseTo(600, 6);
  }, 60_000);

  it('creep is read 30 s and 300 s after the load was hung', async () => {
    const checks = { creep: true, bending: false, warmUp: false };
    const { readings } = await bench.handlers.startRun({ setup: demoSetup(2, { checks }) });
    expect(readings.map(({ stage }) => stage)).toEqual([
      'zeroBefore',
      'increasing',
      'increasing',
      'creep30',
      'creep300',
      'decreasing',
      'zeroAfter',
    ]);
    await feedAsked();
    await feedAsked();
    await feedAsked();
    bench.feed(readings[2]?.torqueNm ?? 0, 28);
    await settle();
    expect((await run()).nextIndex).toBe(3);
    bench.feed(readings[2]?.torqueNm ?? 0, 2);
    await settle();
    expect((await run()).nextIndex).toBe(4);
    bench.feed((readings[2]?.torqueNm ?? 0) + 0.002, 267);
    await settle();
    expect((await run()).nextIndex).toBe(4);
    bench.feed((readings[2]?.torqueNm ?? 0) + 0.002, 4);
    await settle();
    const { nextIndex, taken } = await run();
    expect(nextIndex).toBe(5);
    // A thousand counts for a newton metre.
    expect((taken[4]?.meanCounts ?? 0) - (taken[3]?.meanCounts ?? 0)).toBeCloseTo(2, 0);
  }, 60_000);
});
