import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { readyMadeProfiles, type AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { CalibrationRun, RunProgress, RunSetup } from '../../shared-lib/calibration/run-model.ts';
import { signedTorqueNm } from '../../shared-lib/calibration/run-scale.ts';
import type { HungWeightsOptions } from '../../shared-lib/simulation/hung-weights.ts';
import { startPtyAmplifier, type RunningPtyAmplifier } from '../helpers/running-pty-amplifier.ts';
import { makeDataFolder, startRealServices, type RunningServices } from '../helpers/running-services.ts';
import { demoSetup } from '../helpers/run-setups.ts';

const RATE_HZ = 500;
const profile = {
  ...(readyMadeProfiles.find(({ checksum }) => checksum === 'xor') as AmplifierProfile),
  nominalRateHz: RATE_HZ,
};

let folder: ReturnType<typeof makeDataFolder>;
let bench: RunningServices;
let amplifier: RunningPtyAmplifier;

function plugIn(weights: HungWeightsOptions): void {
  amplifier = startPtyAmplifier({
    profile,
    rateHz: RATE_HZ,
    bench: { seed: 11, weights },
    linkPath: `${folder.path}/tty-of-the-amplifier`,
  });
}

beforeEach(async () => {
  folder = makeDataFolder();
  bench = await startRealServices(folder.path);
  // Starts the reader, which would otherwise inherit the pseudo-terminal and keep it open.
  await bench.handlers.listPorts({});
  plugIn({});
});
afterEach(async () => {
  amplifier.close();
  await bench.close();
  folder.remove();
});

async function connect(): Promise<void> {
  await bench.handlers.connectAmplifier({
    path: amplifier.path,
    profileId: profile.id,
    baudRate: 921_600,
    nominalRateHz: RATE_HZ,
    converterBits: 24,
  });
  await bench.until('samples', ({ amplifier: { counters } }) => counters.samples > RATE_HZ / 2);
}

function hang(torqueNm: number): void {
  amplifier.simulated?.bench.hang(torqueNm);
}

async function currentRun(): Promise<CalibrationRun> {
  const { run } = await bench.handlers.getRun({});
  if (run === null) throw new Error('No run is open');
  return run;
}

function lastProgress(): RunProgress | undefined {
  return bench.seen('calibrationProgress').at(-1);
}

async function untilRun(what: string, condition: (run: CalibrationRun) => boolean): Promise<CalibrationRun> {
  const giveUpAt = Date.now() + 20_000;
  for (;;) {
    const run = await currentRun();
    if (condition(run)) return run;
    if (Date.now() > giveUpAt) {
      throw new Error(
        `Waited in vain for: ${what}. At ${String(run.nextIndex)}, ${run.state}; ${JSON.stringify(lastProgress())}`,
      );
    }
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}

async function untilProgress(
  what: string,
  condition: (progress: RunProgress) => boolean,
): Promise<RunProgress> {
  const giveUpAt = Date.now() + 20_000;
  const seenBefore = bench.seen('calibrationProgress').length;
  for (;;) {
    const found = bench.seen('calibrationProgress').slice(seenBefore).find(condition);
    if (found) return found;
    if (Date.now() > giveUpAt)
      throw new Error(`Waited in vain for: ${what}. ${JSON.stringify(lastProgress())}`);
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}

/** As an operator does who reads the instructions and touches no key: hangs what is asked for, until so many are taken. */
async function hangUntil(takenCount: number): Promise<CalibrationRun> {
  for (;;) {
    const run = await currentRun();
    if (run.taken.length >= takenCount || run.nextIndex === null) return run;
    const asked = run.readings[run.nextIndex];
    if (asked === undefined) throw new Error('Nothing is asked for');
    hang(signedTorqueNm(asked));
    await untilRun(`reading ${asked.index}`, ({ nextIndex }) => nextIndex !== asked.index);
  }
}

async function startRun(setup: RunSetup): Promise<CalibrationRun> {
  await connect();
  return bench.handlers.startRun({ setup });
}

describe('a guided run over a real serial device', () => {
  it('takes six steps up and down by itself, with no key between start and end', async () => {
    const run = await startRun(demoSetup(6));
    expect(run.readings).toHaveLength(13);
    await hangUntil(1);
    await untilProgress('the bare arm still', ({ phase }) => phase === 'unchanged');
    const done = await hangUntil(13);
    expect(done.state).toBe('complete');
    expect(done.taken.map(({ index }) => index)).toEqual(done.readings.map(({ index }) => index));
    expect(done.taken.every(({ by, flags }) => by === 'steady' && flags.length === 0)).toBe(true);

    const truth = amplifier.simulated?.bench.truth;
    if (truth === undefined) throw new Error('No simulated bench');
    for (const { index, meanCounts, durationS, sampleCount } of done.taken) {
      const torqueNm = done.readings[index]?.torqueNm ?? 0;
      const expected = truth.zeroCounts + torqueNm / truth.forwardGainNmPerCount;
      // Noise of the mean is under 4 counts; drift and what is left of the swing are some tens.
      expect(Math.abs(meanCounts - expected)).toBeLessThan(100);
      expect(durationS).toBeCloseTo(0.5, 6);
      expect(sampleCount).toBe(250);
    }
    const phases = new Set(bench.seen('calibrationProgress').map(({ phase }) => phase));
    expect(phases).toContain('settling');
    expect(phases).toContain('steady');
  });

  it('does not take a reading by itself where a weight hangs twice, and takes it once that is put right', async () => {
    await startRun(demoSetup(3));
    const run = await hangUntil(2);
    const asked = run.readings[2];
    if (asked === undefined) throw new Error('The plan is too short');
    hang(asked.torqueNm * (3 / 2));
    const held = await untilProgress('held', ({ phase }) => phase === 'held');
    expect(held.flags.map(({ code }) => code)).toEqual(['weight-twice']);
    expect((await currentRun()).taken).toHaveLength(2);

    hang(asked.torqueNm);
    const taken = await untilRun('the reading', ({ taken: { length } }) => length === 3);
    expect(taken.taken[2]).toMatchObject({ index: 2, by: 'steady', flags: [] });
  });

  it('holds a load that has slipped on the arm', async () => {
    amplifier.close();
    plugIn({ slip: { atChange: 4, share: 0.03 } });
    await startRun(demoSetup(3));
    const run = await hangUntil(3);
    hang(run.readings[3]?.torqueNm ?? 0);
    const held = await untilProgress('held', ({ phase }) => phase === 'held');
    expect(held.flags.map(({ code }) => code)).toEqual(['unexpected-load']);
    expect(held.flags[0]?.sentence).toContain('whether the arm slipped');
    expect((await currentRun()).taken).toHaveLength(3);
  });

  it('holds a load in the wrong direction; the key takes it, and the remark stays with it', async () => {
    await startRun(demoSetup(3));
    const run = await hangUntil(2);
    hang(-(run.readings[2]?.torqueNm ?? 0));
    const held = await untilProgress('held', ({ phase }) => phase === 'held');
    expect(held.flags.map(({ code }) => code)).toEqual(['wrong-direction']);
    const taken = await bench.handlers.takeReading({ runId: run.id, index: 2 });
    expect(taken.taken[2]).toMatchObject({ index: 2, by: 'key' });
    expect(taken.taken[2]?.flags).toEqual(held.flags);

    const again = await bench.handlers.redoReading({ runId: run.id, index: 2 });
    expect(again.nextIndex).toBe(2);
    hang(run.readings[2]?.torqueNm ?? 0);
    const redone = await untilRun('the reading again', ({ nextIndex }) => nextIndex === 3);
    expect(redone.taken[2]).toMatchObject({ by: 'steady', flags: [] });
    expect(redone.replaced).toEqual([taken.taken[2]]);
  });

  it('keeps every reading over a restart, is paused then, and goes on where it was', async () => {
    await startRun(demoSetup(3));
    const before = await hangUntil(3);
    await bench.close();
    bench = await startRealServices(folder.path);
    const { run: after } = await bench.handlers.getRun({});
    expect(after).toEqual({ ...before, state: 'paused' });
    expect(() => bench.handlers.takeReading({ runId: before.id, index: 3 })).toThrow('This run is paused');
    expect(() => bench.handlers.resumeRun({ runId: before.id })).toThrow('The run stays paused');

    await connect();
    const resumed = await bench.handlers.resumeRun({ runId: before.id });
    expect(resumed.state).toBe('running');
    const done = await hangUntil(7);
    expect(done.state).toBe('complete');
    expect(done.taken.slice(0, 3)).toEqual(before.taken);
  });

  it('is paused by a cable that comes off in a dwell, which takes nothing, and goes on when it is back', async () => {
    await startRun(demoSetup(3, { dwellS: 2 }));
    const run = await hangUntil(1);
    hang(run.readings[1]?.torqueNm ?? 0);
    await untilProgress('half a dwell', ({ phase, heldS }) => phase === 'settling' && heldS > 0.5);
    amplifier.unplug();
    const paused = await untilRun('the pause', ({ state }) => state === 'paused');
    expect(paused.taken).toHaveLength(1);
    amplifier.plugIn();
    await bench.until('the amplifier again', ({ amplifier: { link } }) => link === 'connected');
    expect((await currentRun()).state).toBe('paused');
    await bench.handlers.resumeRun({ runId: run.id });
    const done = await hangUntil(2);
    expect(done.taken[1]).toMatchObject({ index: 1, flags: [] });
    expect(done.taken[1]?.durationS).toBeCloseTo(2, 6);
  });

  it('waits for what a hand does, and takes nothing of another mounting again', async () => {
    await startRun(demoSetup(2, { senses: ['forward', 'reverse'] }));
    const turned = await hangUntil(5);
    expect(turned.nextIndex).toBe(5);
    expect(turned.readings[5]?.handling).toContain('reverse');
    await untilProgress('hands', ({ phase }) => phase === 'waitingForHands');
    expect(() => bench.handlers.takeReading({ runId: turned.id, index: 5 })).toThrow('First confirm');
    await bench.handlers.confirmHandling({ runId: turned.id, index: 5 });
    expect(() => bench.handlers.redoReading({ runId: turned.id, index: 1 })).toThrow(
      'the rig was changed since',
    );
    const done = await hangUntil(10);
    expect(done.state).toBe('complete');
    expect(done.taken[6]?.meanCounts).toBeLessThan(done.taken[5]?.meanCounts ?? 0);
  });

  it('and a trial refuse each other', async () => {
    const run = await startRun(demoSetup(2));
    expect(() => bench.handlers.armTrial({})).toThrow('until the calibration run is over');
    expect(() => bench.handlers.takeZero({})).toThrow('until the calibration run is over');
    expect(() => bench.handlers.startRun({ setup: demoSetup(2) })).toThrow(
      'until the calibration run is over',
    );
    await bench.handlers.pauseRun({ runId: run.id });
    expect(() => bench.handlers.armTrial({})).not.toThrow('until the calibration run is over');
    expect(() => bench.handlers.startRun({ setup: demoSetup(2) })).toThrow('open on this transducer already');
    await bench.handlers.discardRun({ runId: run.id, reason: 'The arm was bent.' });
    expect(await bench.handlers.getRun({})).toEqual({ run: null });
    expect(bench.seen('calibrationRunChanged').at(-1)).toEqual({ run: null });
    expect(() => bench.handlers.resumeRun({ runId: run.id })).toThrow('discarded already');
  });
});
