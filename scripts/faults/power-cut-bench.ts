import BetterSqlite3 from 'better-sqlite3';
import { createHash } from 'node:crypto';
import { openSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { armWhenAtRest } from '../../tests/helpers/arm-when-at-rest.ts';
import { type RunningServices, startRealServices } from '../../tests/helpers/running-services.ts';
import type { Told } from './power-cut.ts';

/**
 * A first start, trials on the simulated bench, decisions, a backup, and a second start, in a process whose calls are recorded.
 * What a person or another window was told by then goes to a file of its own, so that it stands in the record in its order.
 */
const [dataFolder, marksPath, trialCount] = process.argv.slice(2);
if (dataFolder === undefined || marksPath === undefined)
  throw new Error('Needs a folder and a file for marks');
const marks = openSync(marksPath, 'a');

function tell(told: Told): void {
  writeSync(marks, JSON.stringify(told));
}

/** After each answer of the writer thread: how much of the trial is stored, by what another connection can read. */
function tellWhatIsStored(bench: RunningServices): void {
  const database = new BetterSqlite3(join(dataFolder ?? '', 'proofarm.db'), { readonly: true });
  const stored = database.prepare<[], { trialId: string; endSlot: number }>(
    `SELECT trial_id AS trialId, max(first_slot + slot_count) AS endSlot FROM raw_block
     WHERE trial_id = (SELECT id FROM trial WHERE state = 'recording' LIMIT 1) GROUP BY trial_id`,
  );
  bench.writers[0]?.onReply(() => {
    const now = stored.get();
    if (now) tell({ kind: 'stored', ...now });
  });
}

async function digestOf(bench: RunningServices, trialId: string): Promise<string> {
  const { counts } = await bench.handlers.getTrialCounts({ trialId });
  return createHash('sha256').update(counts).digest('hex');
}

async function recordTrial(bench: RunningServices): Promise<string> {
  const { handlers } = bench;
  await bench.until('a bench without obstacles', (status) => status.obstacles.length === 0);
  await armWhenAtRest(handlers);
  const { trial } = await bench.until(
    'the end of the trial',
    ({ trial: { phase } }) => phase === 'kept' || phase === 'reviewing',
  );
  if (trial.phase !== 'kept' && trial.phase !== 'reviewing') throw new Error('The trial has no end');
  const { trialId } = trial;
  if (trial.phase === 'reviewing') await handlers.keepTrial({ trialId });
  tell({ kind: 'kept', trialId, digest: await digestOf(bench, trialId) });
  return trialId;
}

async function sit(): Promise<void> {
  const bench = await startRealServices(dataFolder ?? '');
  tellWhatIsStored(bench);
  const { handlers } = bench;
  await handlers.connectSimulatedBench({});
  await handlers.updateSettings({
    step: { toolName: 'Hollin H5 (demo)', kind: 'tighten', direction: 'forward', plannedS: 1 },
  });
  let trialId = '';
  for (let trial = 0; trial < Number(trialCount); trial += 1) trialId = await recordTrial(bench);
  await handlers.voidTrial({ trialId, reason: 'Voided on purpose.' });
  tell({ kind: 'voided', trialId });
  const { jobId } = await handlers.makeBackup({});
  const isMade = async (): Promise<boolean> => {
    const job = (await handlers.listJobs({})).jobs.find((one) => one.jobId === jobId);
    return job !== undefined && job.state !== 'waiting' && job.state !== 'working';
  };
  while (!(await isMade())) await new Promise((resolve) => setTimeout(resolve, 50));
  const { backups } = await handlers.listBackups({});
  for (const { fileName } of backups) tell({ kind: 'backedUp', fileName });
  await bench.close();
}

await sit();
await sit();
process.exit();
