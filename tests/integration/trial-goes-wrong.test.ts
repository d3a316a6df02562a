import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readyMadeProfiles, type AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { SimulatedPull } from '../../shared-lib/simulation/simulated-bench.ts';
import { armWhenAtRest } from '../helpers/arm-when-at-rest.ts';
import { untilKeptFrom } from '../helpers/end-of-trial.ts';
import { findRun } from '../helpers/find-run.ts';
import { leastSamples } from '../helpers/late-writer.ts';
import {
  startPtyAmplifier,
  untilMoreLines,
  type RunningPtyAmplifier,
} from '../helpers/running-pty-amplifier.ts';
import { prepareRealBench } from '../helpers/real-bench.ts';
import { makeDataFolder, startRealServices, type RunningServices } from '../helpers/running-services.ts';

const RATE_HZ = 1000;
const [, , profile] = readyMadeProfiles as [AmplifierProfile, AmplifierProfile, AmplifierProfile];

let folder: ReturnType<typeof makeDataFolder>;
let bench: RunningServices;
let amplifier: RunningPtyAmplifier;

beforeAll(async () => {
  folder = makeDataFolder();
  bench = await startRealServices(folder.path);
  // Starts the reader before the pseudo-terminal is there: a process started later would inherit the device's end of it
  // and hold it open when the test unplugs.
  await bench.handlers.listPorts({});
  amplifier = startPtyAmplifier({
    profile,
    rateHz: RATE_HZ,
    bench: { seed: 11 },
    linkPath: join(folder.path, 'port'),
  });
  await prepareRealBench(bench, amplifier, { profileId: profile.id, rateHz: RATE_HZ, plannedS: 1.5 });
});
afterAll(async () => {
  amplifier.close();
  await bench.close();
  folder.remove();
});

/** Arms once the transducer is at rest, and pulls when the bench waits for it. */
async function arm(pull: Partial<SimulatedPull> = {}): Promise<void> {
  await armWhenAtRest(bench.handlers);
  await bench.untilPhase('waiting');
  amplifier.simulated?.bench.pull({ direction: 'forward', triggerS: 1.9, delayS: 0.1, ...pull });
}

async function storedCounts(trialId: string): Promise<Int32Array> {
  return (await bench.handlers.getTrialCounts({ trialId })).counts;
}

describe('a trial that goes wrong', () => {
  it('is interrupted when the amplifier is unplugged, with all samples up to then, and the bench reconnects', async () => {
    await arm();
    await bench.untilPhase('run');
    await untilMoreLines(amplifier, 0.6 * RATE_HZ);
    amplifier.unplug();
    const { trialId, reason, sentence } = await bench.untilPhase('interrupted');
    expect(reason).toBe('disconnect');
    expect(sentence).toMatch(
      /^Amplifier lost at \d\.\d\d s\. \d+ samples kept\. Plug the amplifier in again/,
    );
    const counts = await storedCounts(trialId);
    findRun(amplifier.written.counts, counts);
    expect(counts.length).toBeGreaterThan(1.3 * RATE_HZ);
    const lost = await bench.status();
    expect(lost.amplifier.link).toBe('reconnecting');
    expect(lost.obstacles[0]?.remedy).toBe('setup');

    amplifier.plugIn();
    await bench.until('reconnection', (status) => status.amplifier.link === 'connected');
    const record = await bench.handlers.getTrial({ trialId });
    expect(record.faults.map(({ kind }) => kind)).toContain('disconnect');
    expect((await bench.status()).interruptedTrialIds).toEqual([trialId]);
    await bench.handlers.voidTrial({ trialId, reason: 'The cable came off.' });
    expect((await bench.status()).interruptedTrialIds).toEqual([]);
  });

  it('is interrupted by the operator, measured when he keeps it, and voided with a reason that can be taken back', async () => {
    await arm();
    await bench.untilPhase('run');
    await untilMoreLines(amplifier, 0.7 * RATE_HZ);
    await bench.handlers.stopTrial({});
    const { trialId } = await bench.untilPhase('interrupted');
    expect((await bench.handlers.getTrial({ trialId })).figures).toBeNull();
    await bench.handlers.keepTrial({ trialId });
    expect((await bench.handlers.getTrial({ trialId })).figures?.quality.verdict).not.toBe('good');
    await bench.handlers.voidTrial({ trialId, reason: 'Stopped too early.' });
    await bench.handlers.restoreTrial({ trialId, reason: 'It was long enough.' });
    const { decisions, summary } = await bench.handlers.getTrial({ trialId });
    expect(decisions.map(({ decision, figuresShown }) => [decision, figuresShown])).toEqual([
      ['interrupted', false],
      ['kept', false],
      ['voided', true],
      ['restored', true],
    ]);
    expect(summary.isVoided).toBe(false);
  });

  it('makes no trial when the torque goes the wrong way, and says so', async () => {
    const before = await bench.handlers.listTrials({ search: '', state: null, offset: 0, limit: 1 });
    await arm({ direction: 'reverse', triggerS: 0.6 });
    const idle = await bench.untilPhase('idle');
    expect(idle.lastProblem).toContain('the wrong way');
    const after = await bench.handlers.listTrials({ search: '', state: null, offset: 0, limit: 1 });
    expect(after.total).toBe(before.total);
  });

  it('ends on an overload of the rig, which is told and stored', async () => {
    const { transducers } = await bench.handlers.listTransducers({});
    const real = transducers.find(({ isSimulated }) => !isSimulated);
    if (!real) throw new Error('There is no transducer');
    const { id, name, capacityNm, rigUnloading } = real;
    await bench.handlers.updateTransducer({ id, name, capacityNm, rigLimitNm: 400, rigUnloading });
    try {
      await arm();
      const { trialId, reason } = await bench.untilPhase('interrupted');
      expect(reason).toBe('overload');
      const { faults } = await bench.handlers.getTrial({ trialId });
      expect(faults.map(({ kind }) => kind)).toContain('overload');
      await bench.handlers.voidTrial({ trialId, reason: 'Overload.' });
    } finally {
      await bench.handlers.updateTransducer({ id, name, capacityNm, rigLimitNm: 1450, rigUnloading });
    }
  });

  it('keeps the slots of lost lines, and leaves the decision to the operator', async () => {
    await arm();
    await bench.untilPhase('run');
    amplifier.simulated?.misbehave({ kind: 'gap', count: 40 });
    await untilMoreLines(amplifier, 0.3 * RATE_HZ);
    amplifier.simulated?.misbehave({ kind: 'badChecksum', count: 5 });
    const { trialId, quality } = await bench.untilPhase('reviewing', 15_000);
    expect(quality.reasons.map(({ code }) => code)).toContain('lostSamples');
    const hidden = await bench.handlers.getTrial({ trialId });
    expect(hidden.figures).toBeNull();
    expect(hidden.lostSlots).toBeGreaterThanOrEqual(40);
    expect(hidden.faults.map(({ kind }) => kind)).toEqual(
      expect.arrayContaining(['sequenceGap', 'badChecksum']),
    );
    await bench.handlers.keepTrial({ trialId });
    const kept = await bench.untilPhase('kept');
    expect((await bench.handlers.getTrial({ trialId })).figures).toEqual(kept.figures);
  });

  it('survives the death of the reader: a new one is started, the cut trial is kept as interrupted', async () => {
    await arm();
    await bench.untilPhase('run');
    await untilMoreLines(amplifier, 0.3 * RATE_HZ);
    bench.readers[bench.readers.length - 1]?.kill();
    const { trialId, reason } = await bench.untilPhase('interrupted');
    expect(reason).toBe('readerLost');
    await bench.until('reconnection', (status) => status.amplifier.link === 'connected');
    expect((await bench.status()).recentFaults.map(({ kind }) => kind)).toContain('readerLost');
    await bench.handlers.voidTrial({ trialId, reason: 'The reader died.' });
  });

  it('goes on to its stop cue while another program holds the database, and has all samples afterwards', async () => {
    await arm();
    await bench.untilPhase('run');
    const stopCues = (): number => bench.seen('soundCue').filter(({ cue }) => cue === 'stop').length;
    const before = stopCues();
    const other = new Database(join(folder.path, 'proofarm.db'));
    other.exec('BEGIN IMMEDIATE');
    // The writer waits for five seconds at most.
    await expect.poll(stopCues, { timeout: 10_000, interval: 10 }).toBe(before + 1);
    other.exec('ROLLBACK');
    other.close();
    const trialId = await untilKeptFrom(amplifier, bench);
    const counts = await storedCounts(trialId);
    findRun(amplifier.written.counts, counts);
    expect(counts.length).toBeGreaterThan(leastSamples(amplifier.written.atUs, RATE_HZ, 3.5));
  });

  it('stops visibly when the database can no longer be written, and what was stored is safe', async () => {
    const other = new Database(join(folder.path, 'proofarm.db'));
    const storedTrials = (): unknown => other.prepare('SELECT count(*) FROM trial').pluck().get();
    const storedBefore = storedTrials();
    await arm();
    await bench.untilPhase('run');
    // Its first samples are written a moment after the run began; without those there is no trial to speak of.
    await expect.poll(storedTrials, { timeout: 10_000, interval: 20 }).not.toBe(storedBefore);
    other.exec('BEGIN IMMEDIATE');
    const { trialId, reason } = await bench.untilPhase('interrupted');
    expect(reason).toBe('storageFailed');
    expect((await bench.status()).storage).toMatchObject({ state: 'failing' });
    other.exec('ROLLBACK');
    other.close();
    // Once writing works again the trial is there to decide, without a restart.
    await bench.until('the interrupted trial', (status) => status.interruptedTrialIds.includes(trialId));
    expect((await bench.handlers.getTrial({ trialId })).interruption).toBe('storageFailed');
    // What had waited in memory is written by then.
    const counts = await storedCounts(trialId);
    findRun(amplifier.written.counts, counts);
    expect(counts.length).toBeGreaterThan(leastSamples(amplifier.written.atUs, RATE_HZ, 3.5));
  });
});
