import { fork } from 'node:child_process';
import { once } from 'node:events';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { readyMadeProfiles, type AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { systemClock } from '../../main/platform/clock.ts';
import { findRun } from '../helpers/find-run.ts';
import { startPtyAmplifier, type RunningPtyAmplifier } from '../helpers/pseudo-terminal.ts';
import { prepareRealBench } from '../helpers/real-bench.ts';
import { makeDataFolder, startRealServices } from '../helpers/running-services.ts';

const RATE_HZ = 1000;
const KILLS = 20;
const LANES = 2;
/** The design's promise: no more than this is missing after a kill. */
const MOST_MISSING_US = 100_000;

const [, profile] = readyMadeProfiles as [AmplifierProfile, AmplifierProfile];

/** Kills a bench at some instant of its recording; returns when, on the monotonic clock. */
async function killWhileRecording(
  dataFolder: string,
  amplifier: RunningPtyAmplifier,
  afterRunMs: number,
): Promise<number> {
  const settings = {
    path: amplifier.path,
    profileId: 'sequence-counts',
    baudRate: 921_600,
    nominalRateHz: RATE_HZ,
    converterBits: 24,
  };
  const child = fork(new URL('../helpers/killable-bench.ts', import.meta.url), [
    dataFolder,
    JSON.stringify(settings),
  ]);
  const exited = once(child, 'exit');
  await new Promise<void>((resolve, reject) => {
    child.on('message', (phase) => {
      if (phase === 'waiting') {
        // Released soon after the kill, so that the next bench finds its transducer at rest.
        const triggerS = afterRunMs / 1000 + 0.5;
        amplifier.simulated?.bench.pull({ direction: 'forward', triggerS, delayS: 0.1 });
      }
      if (phase === 'run') resolve();
    });
    void exited.then(([code]) => {
      reject(new Error(`The bench ended by itself with ${String(code)}`));
    });
  });
  await new Promise((resolve) => setTimeout(resolve, afterRunMs));
  const killedUs = systemClock.monotonicUs();
  child.kill('SIGKILL');
  await exited;
  return killedUs;
}

async function runLane(lane: number): Promise<number[]> {
  const folder = makeDataFolder();
  const amplifier = startPtyAmplifier({
    profile,
    rateHz: RATE_HZ,
    bench: { seed: 100 + lane },
  });
  const missingUs: number[] = [];
  try {
    const setUp = await startRealServices(folder.path);
    await prepareRealBench(setUp, amplifier, { profileId: 'sequence-counts', rateHz: RATE_HZ, plannedS: 5 });
    await setUp.close();
    for (let kill = 0; kill < KILLS / LANES; kill += 1) {
      const killedUs = await killWhileRecording(folder.path, amplifier, 50 + Math.random() * 2500);

      const file = new Database(join(folder.path, 'proofarm.db'));
      expect(file.pragma('integrity_check', { simple: true })).toBe('ok');
      file.close();

      const after = await startRealServices(folder.path);
      const { interruptedTrialIds } = await after.status();
      expect(interruptedTrialIds).toHaveLength(1);
      const [trialId = ''] = interruptedTrialIds;
      const record = await after.handlers.getTrial({ trialId });
      expect(record.summary.state).toBe('interrupted');
      expect(record.interruption).toBe('programEnded');
      const { counts } = await after.handlers.getTrialCounts({ trialId });
      const lastStored = findRun(amplifier.written.counts, counts) + counts.length - 1;
      const writtenByThen = amplifier.written.atUs.filter((atUs) => atUs <= killedUs).length - 1;
      missingUs.push(
        Math.max(0, (amplifier.written.atUs[writtenByThen] ?? 0) - (amplifier.written.atUs[lastStored] ?? 0)),
      );
      await after.handlers.keepTrial({ trialId });
      expect((await after.handlers.getTrial({ trialId })).figures).not.toBeNull();
      await after.close();
    }
  } finally {
    amplifier.close();
    folder.remove();
  }
  return missingUs;
}

describe('a program killed while it records', () => {
  it(`leaves a sound database and a trial to decide, at most 100 ms short, ${KILLS} times`, async () => {
    const lanes = await Promise.all(Array.from({ length: LANES }, (_, lane) => runLane(lane)));
    const missingUs = lanes.flat();
    expect(missingUs).toHaveLength(KILLS);
    expect(
      Math.max(...missingUs),
      `missing after each kill, in us: ${missingUs.join(', ')}`,
    ).toBeLessThanOrEqual(MOST_MISSING_US);
  }, 400_000);
});
