import { fork } from 'node:child_process';
import { once } from 'node:events';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { systemClock } from '../../main/platform/clock.ts';
import { findRun } from './find-run.ts';
import type { MachineWitness } from './machine-witness.ts';
import type { RunningPtyAmplifier } from './running-pty-amplifier.ts';
import { startRealServices } from './running-services.ts';

export interface KilledBench {
  readonly dataFolder: string;
  readonly amplifier: RunningPtyAmplifier;
  readonly profileId: string;
  readonly rateHz: number;
}

/** What was found after one kill. */
export interface KillFinding {
  readonly integrity: unknown;
  readonly missingUs: number;
  readonly wasHeldUp: boolean;
  readonly hasFiguresOnceKept: boolean;
}

/**
 * Kills a bench in a process of its own at some instant of its recording, then starts the program on what it left.
 *
 * Fails where there is not exactly one interrupted trial, or where its counts do not stand in what was written. Where the machine
 * was held up there may be none: then everything is missing.
 */
export async function killWhileRecording(
  bench: KilledBench,
  witness: MachineWitness,
  afterRunMs: number,
): Promise<KillFinding> {
  const killedUs = await killAfter(bench, afterRunMs);
  const wasHeldUp = witness.wasHeldUp();

  const file = new Database(join(bench.dataFolder, 'proofarm.db'));
  const integrity = file.pragma('integrity_check', { simple: true });
  file.close();

  const after = await startRealServices(bench.dataFolder);
  try {
    const { interruptedTrialIds } = await after.status();
    const [trialId] = interruptedTrialIds;
    // Killed before the first rows of a trial that a busy machine wrote late.
    if (trialId === undefined && wasHeldUp) {
      return { integrity, missingUs: Infinity, wasHeldUp, hasFiguresOnceKept: true };
    }
    if (trialId === undefined || interruptedTrialIds.length !== 1) {
      throw new Error(`${interruptedTrialIds.length} trials are offered as interrupted, not one`);
    }
    const record = await after.handlers.getTrial({ trialId });
    if (record.summary.state !== 'interrupted' || record.interruption !== 'programEnded') {
      throw new Error(`The trial is ${record.summary.state} by ${String(record.interruption)}`);
    }
    const { counts } = await after.handlers.getTrialCounts({ trialId });
    const { atUs, counts: written } = bench.amplifier.written;
    const lastStored = findRun(written, counts) + counts.length - 1;
    const lastWritten = atUs.filter((us) => us <= killedUs).length - 1;
    await after.handlers.keepTrial({ trialId });
    const { figures } = await after.handlers.getTrial({ trialId });
    return {
      integrity,
      missingUs: Math.max(0, (atUs[lastWritten] ?? 0) - (atUs[lastStored] ?? 0)),
      wasHeldUp,
      hasFiguresOnceKept: figures !== null,
    };
  } finally {
    await after.close();
  }
}

/** Returns when it was killed, on the monotonic clock. */
async function killAfter(bench: KilledBench, afterRunMs: number): Promise<number> {
  const settings = {
    path: bench.amplifier.path,
    profileId: bench.profileId,
    baudRate: 921_600,
    nominalRateHz: bench.rateHz,
    converterBits: 24,
  };
  const child = fork(new URL('./killable-bench.ts', import.meta.url), [
    bench.dataFolder,
    JSON.stringify(settings),
  ]);
  const exited = once(child, 'exit');
  await new Promise<void>((resolve, reject) => {
    child.on('message', (phase) => {
      if (phase === 'waiting') {
        // Released soon after the kill, so that the next bench finds its transducer at rest.
        const triggerS = afterRunMs / 1000 + 0.5;
        bench.amplifier.simulated?.bench.pull({ direction: 'forward', triggerS, delayS: 0.1 });
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
