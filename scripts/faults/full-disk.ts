import { createHash } from 'node:crypto';
import { rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import BetterSqlite3 from 'better-sqlite3';
import { readyMadeProfiles } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { errnoOf } from '../../main/storage/storage-errors.ts';
import { armWhenAtRest } from '../../tests/helpers/arm-when-at-rest.ts';
import { findRun } from '../../tests/helpers/find-run.ts';
import { type RunningPtyAmplifier, startPtyAmplifier } from '../../tests/helpers/pseudo-terminal.ts';
import { prepareRealBench } from '../../tests/helpers/real-bench.ts';
import { type RunningServices, startRealServices } from '../../tests/helpers/running-services.ts';
import type { Figure } from '../measured-figures.ts';
import { mountSmallDisk, type SmallDisk } from './small-disk.ts';

const ROUNDS = 10;
const DISK_MB = 24;
const RATE_HZ = 2000;
const PLANNED_S = 3;

/**
 * F4: the disk fills up in mid-run, at a random instant; a small file system in memory is filled to its last byte.
 *
 * A round is right where the stop shows, every earlier trial is as it was, the cut trial is there with all that had been measured by
 * the stop once there is space again, and the next trial is kept without a restart. Baseline: plain writes that the same disk
 * refused meanwhile, one a round.
 */
export async function measureFullDisk(say: (line: string) => void, rounds = ROUNDS): Promise<Figure> {
  const profile = readyMadeProfiles.find(({ checksum }) => checksum === 'xor');
  if (!profile) throw new Error('There is no ready-made profile with a checksum');
  const path = join(tmpdir(), `proofarm-small-disk-${process.pid}`);
  const disk = mountSmallDisk(path, DISK_MB);
  const wrong: string[] = [];
  let refusedWrites = 0;
  const bench = await startRealServices(path);
  await bench.handlers.listPorts({});
  const amplifier = startPtyAmplifier({ profile, rateHz: RATE_HZ, bench: { seed: 44 } });
  try {
    await prepareRealBench(bench, amplifier, {
      profileId: profile.id,
      rateHz: RATE_HZ,
      plannedS: PLANNED_S,
    });
    const earlier = new Map<string, string>();
    await runTrial(bench, amplifier, earlier);
    for (let round = 1; round <= rounds; round += 1) {
      const found = await fillInMidRun(bench, amplifier, disk, earlier);
      refusedWrites += Number(found.isPlainWriteRefused);
      wrong.push(...found.wrong.map((what) => `round ${round}: ${what}`));
      say(`F4: ${round} of ${rounds} rounds${found.wrong.length > 0 ? `, ${found.wrong.join(', ')}` : ''}`);
    }
  } finally {
    amplifier.close();
    disk.empty();
    await bench.close();
    wrong.push(...whatFileLacks(path));
    disk.remove();
  }
  return {
    value: wrong.length,
    unit: `things wrong in ${rounds} rounds of a disk that fills up in mid-run`,
    baseline: refusedWrites,
    limit: 0,
    met: wrong.length === 0 && refusedWrites === rounds,
    note:
      `A file system of ${DISK_MB} MB in memory, filled to its last byte 0.2 to 2 s into a run of ${PLANNED_S} s at ${RATE_HZ} Sa/s over a pseudo-terminal; looked for: the stop and its sentence, every earlier trial bit for bit, the cut trial whole up to the stop once there is space again, ` +
      `the next trial kept without a restart, and a sound file at the end. Baseline: rounds in which the same disk refused a plain write of 4 kB. ${wrong.slice(0, 5).join('; ')}`,
  };
}

interface Round {
  readonly wrong: readonly string[];
  readonly isPlainWriteRefused: boolean;
}

async function fillInMidRun(
  bench: RunningServices,
  amplifier: RunningPtyAmplifier,
  disk: SmallDisk,
  earlier: Map<string, string>,
): Promise<Round> {
  const wrong: string[] = [];
  await armWhenAtRest(bench.handlers);
  await bench.untilPhase('waiting');
  emptyLog(disk.path);
  amplifier.simulated?.bench.pull({ direction: 'forward', triggerS: PLANNED_S + 0.3, delayS: 0.05 });
  await bench.untilPhase('run');
  await wait(200 + Math.random() * 1800);
  disk.fill();
  const isPlainWriteRefused = isRefused(join(disk.path, 'plain'));
  const { trial, storage } = await bench.until(
    'the stop',
    (status) => status.trial.phase === 'interrupted' || status.trial.phase === 'kept',
    20_000,
  );
  if (trial.phase !== 'interrupted') throw new Error('The run did not stop, so the disk was not full');
  const stoppedAt = amplifier.written.counts.length;
  if (trial.reason !== 'storageFailed') wrong.push(`stopped for ${trial.reason}`);
  if (storage.state !== 'failing' || !/disk is full/i.test(storage.sentence ?? '')) {
    wrong.push(`told as ${storage.state}: ${String(storage.sentence)}`);
  }
  for (const [trialId, digest] of earlier) {
    if ((await digestOf(bench, trialId)) !== digest) wrong.push(`${trialId} is another`);
  }
  disk.empty();
  const { trialId } = trial;
  await bench.until(
    'the cut trial',
    ({ interruptedTrialIds }) => interruptedTrialIds.includes(trialId),
    20_000,
  );
  const { counts } = await bench.handlers.getTrialCounts({ trialId });
  const last = findRun(amplifier.written.counts, counts) + counts.length;
  // Lines that were on the way when it stopped belong to nobody: 0.2 s.
  if (stoppedAt - last > 0.2 * RATE_HZ) wrong.push(`${stoppedAt - last} samples before the stop are missing`);
  await bench.handlers.voidTrial({ trialId, reason: 'The disk was filled on purpose.' });
  earlier.set(trialId, await digestOf(bench, trialId));
  await runTrial(bench, amplifier, earlier);
  if ((await bench.status()).storage.state !== 'ok') wrong.push('storage is not ok again');
  return { wrong, isPlainWriteRefused };
}

async function runTrial(
  bench: RunningServices,
  amplifier: RunningPtyAmplifier,
  earlier: Map<string, string>,
): Promise<void> {
  await armWhenAtRest(bench.handlers);
  await bench.untilPhase('waiting');
  amplifier.simulated?.bench.pull({ direction: 'forward', triggerS: PLANNED_S + 0.3, delayS: 0.05 });
  const { trial } = await bench.until(
    'the end of a trial',
    ({ trial: { phase } }) => phase === 'kept' || phase === 'reviewing' || phase === 'interrupted',
  );
  if (trial.phase !== 'kept' && trial.phase !== 'reviewing') throw new Error('A trial was cut off');
  const { trialId } = trial;
  if (trial.phase === 'reviewing') await bench.handlers.keepTrial({ trialId });
  earlier.set(trialId, await digestOf(bench, trialId));
}

async function digestOf({ handlers }: RunningServices, trialId: string): Promise<string> {
  const { counts } = await handlers.getTrialCounts({ trialId });
  return createHash('sha256').update(counts).digest('hex');
}

function isRefused(path: string): boolean {
  try {
    writeFileSync(path, new Uint8Array(4096));
    return false;
  } catch (error) {
    if (errnoOf(error) !== 'ENOSPC') throw error;
    return true;
  } finally {
    rmSync(path, { force: true });
  }
}

/** A log that was longer once has room for a whole run without any more of the disk. */
function emptyLog(folder: string): void {
  const database = new BetterSqlite3(join(folder, 'proofarm.db'));
  database.pragma('wal_checkpoint(TRUNCATE)');
  database.close();
}

function whatFileLacks(folder: string): string[] {
  const database = new BetterSqlite3(join(folder, 'proofarm.db'));
  const verdict = String(database.pragma('integrity_check', { simple: true }));
  database.close();
  return verdict === 'ok' ? [] : [verdict];
}
