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
import {
  type RunningPtyAmplifier,
  startPtyAmplifier,
  untilAtRest,
} from '../../tests/helpers/running-pty-amplifier.ts';
import { prepareRealBench } from '../../tests/helpers/real-bench.ts';
import { type RunningServices, startRealServices } from '../../tests/helpers/running-services.ts';
import type { Figure } from '../measured-figures.ts';
import { mountSmallDisk, type SmallDisk } from './small-disk.ts';

const ROUNDS = 10;
const DISK_MB = 24;
const RATE_HZ = 2000;
const PLANNED_S = 3;
/** Some blocks that were on the way from the reader. */
const MOST_MISSING_S = 0.1;

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
    const receivedAtStop = watchStops(bench, amplifier);
    await runTrial(bench, amplifier, earlier);
    for (let round = 1; round <= rounds; round += 1) {
      const found = await fillInMidRun(bench, amplifier, disk, earlier, receivedAtStop);
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
  receivedAtStop: () => number,
): Promise<Round> {
  const wrong: string[] = [];
  await armForPull(bench, amplifier);
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
  const missing = receivedAtStop() - last;
  if (missing > MOST_MISSING_S * RATE_HZ) wrong.push(`${missing} samples before the stop are missing`);
  await bench.handlers.voidTrial({ trialId, reason: 'The disk was filled on purpose.' });
  earlier.set(trialId, await digestOf(bench, trialId));
  await runTrial(bench, amplifier, earlier);
  if ((await bench.status()).storage.state !== 'ok') wrong.push('storage is not ok again');
  return { wrong, isPlainWriteRefused };
}

/**
 * How many of the written lines main had when a write of a run was last refused. Lines before its first one and those that are on
 * the way make up the least difference that was ever seen between what was written and what main has.
 */
function watchStops(bench: RunningServices, amplifier: RunningPtyAmplifier): () => number {
  let leastAhead = Infinity;
  let samplesAtStop = 0;
  let isStopped = false;
  bench.services.onEvent((name, payload) => {
    if (name !== 'statusChanged' || !('trial' in payload)) return;
    leastAhead = Math.min(leastAhead, amplifier.written.counts.length - payload.amplifier.counters.samples);
    if (payload.trial.phase === 'run') isStopped = false;
  });
  // The status is told four times a second at most, the refusal at once; what is tried again afterwards is refused too.
  bench.writers[0]?.onReply((reply) => {
    if (!('error' in reply) || isStopped) return;
    isStopped = true;
    void bench.status().then(({ amplifier: { counters } }) => {
      samplesAtStop = counters.samples;
    });
  });
  return () => samplesAtStop + leastAhead;
}

/** Until the go; a tool that still lets go of the run before is waited for, and on a busy machine it may let go late. */
async function armForPull(bench: RunningServices, amplifier: RunningPtyAmplifier): Promise<void> {
  for (;;) {
    await untilAtRest(amplifier);
    await armWhenAtRest(bench.handlers);
    const { trial } = await bench.until(
      'the go',
      ({ trial: { phase } }) => phase === 'waiting' || phase === 'idle',
    );
    if (trial.phase === 'waiting') return;
  }
}

async function runTrial(
  bench: RunningServices,
  amplifier: RunningPtyAmplifier,
  earlier: Map<string, string>,
): Promise<void> {
  await armForPull(bench, amplifier);
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
