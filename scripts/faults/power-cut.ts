import type BetterSqlite3 from 'better-sqlite3';
import { createHash } from 'node:crypto';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { createSeededRandom } from '../../shared-lib/simulation/seeded-random.ts';
import { verifyBackup } from '../../main/backup/verify-backup.ts';
import { openDatabase } from '../../main/storage/open-database.ts';
import { readRecording, recoverUnfinished } from '../../main/storage/recording-repository.ts';
import type { Figure } from '../measured-figures.ts';
import { inProject } from '../project-root.mjs';
import { createLossyDisk, type Loss, type LossyDisk } from './lossy-disk.ts';
import { recordProgram, type RecordedProgram } from './record-program.ts';

/** What somebody was told, in the words of the program that was watched. */
export type Told =
  | { readonly kind: 'kept'; readonly trialId: string; readonly digest: string }
  | { readonly kind: 'voided'; readonly trialId: string }
  | { readonly kind: 'stored'; readonly trialId: string; readonly endSlot: number }
  | { readonly kind: 'backedUp'; readonly fileName: string };

const CUTS = 1000;
const TRIALS_PER_SITTING = 2;
const OLDER_DATABASE = inProject('tests', 'fixtures', 'databases', 'form-0010.sqlite');
const SEED = 20_261_126;
/** A fifth of the cuts each; the others by chance. */
const losses: readonly Loss[] = ['everything', 'nothing', 'byChance', 'byChance', 'byChance'];

/**
 * The power is cut: all that the program wrote in two sittings, its first start included, and in a change of form is recorded
 * call by call and played again up to a random point, where what was not synced is there or not by chance.
 *
 * Every folder that is left must open, be sound, and hold all that anybody was told before. Baseline: the same cuts on a disk
 * that no sync reaches, which shows that the method finds a loss where there is one.
 */
export async function measurePowerCuts(say: (line: string) => void, cuts = CUTS): Promise<Figure> {
  const work = mkdtempSync(join(tmpdir(), 'proofarm-power-'));
  try {
    const sittings = await record(work, 'power-cut-bench.ts', String(TRIALS_PER_SITTING));
    const migration = await record(work, 'power-cut-migration.ts', OLDER_DATABASE);
    say(`power: ${sittings.steps.length} and ${migration.steps.length} steps recorded`);
    const ofForm = Math.ceil(cuts / 5);
    const found = await cutOften(sittings, 0, cuts - ofForm, false, say);
    // What comes before its first word is how the old database was laid there.
    const isThere = migration.steps.findIndex(({ kind }) => kind === 'mark');
    const changed = await cutOften(migration, isThere, ofForm, false, say);
    const unsynced = await cutOften(sittings, 0, Math.ceil(cuts / 5), true, say);
    const failures = [...found.failures, ...changed.failures];
    return {
      value: failures.length,
      unit: `of ${cuts} power cuts after which something was damaged or missing`,
      baseline: unsynced.failures.length,
      limit: 0,
      met: failures.length === 0 && unsynced.failures.length > 0,
      note:
        `${found.cuts} cuts of two sittings (first start, ${2 * TRIALS_PER_SITTING} trials on the simulated bench, two voids, two backups, second start: ${sittings.steps.length} steps, ${sittings.syncs} of them syncs), ${changed.cuts} of a database of an older form that is brought to the newest (${migration.steps.length} steps, ${migration.syncs} syncs), each after a random step; ` +
        `contents and sizes that were not synced are there or not page by page, in a quarter of the cuts sector by sector, names of files up to some point; ${found.told + changed.told} statements to a window were checked. ` +
        `Baseline: failures in ${unsynced.cuts} cuts of the sittings without their syncs. ${failures.slice(0, 5).join('; ')}`,
    };
  } finally {
    rmSync(work, { recursive: true, force: true });
  }
}

function record(work: string, script: string, argument: string): Promise<RecordedProgram> {
  const own = mkdtempSync(join(work, 'record-'));
  return recordProgram(own, fileURLToPath(new URL(script, import.meta.url)), [argument]);
}

interface CutsFound {
  readonly cuts: number;
  readonly failures: readonly string[];
  /** Statements that were looked for in what was left, over all cuts. */
  readonly told: number;
}

async function cutOften(
  { folder, steps }: RecordedProgram,
  fromStep: number,
  cuts: number,
  ignoresSyncs: boolean,
  say: (line: string) => void,
): Promise<CutsFound> {
  const random = createSeededRandom(SEED, 3);
  const points = Array.from(
    { length: cuts },
    () => fromStep + Math.floor(random.uniform() * (steps.length + 1 - fromStep)),
  );
  points.sort((a, b) => a - b);
  const disk = createLossyDisk(folder, ignoresSyncs);
  const told: Told[] = [];
  const failures: string[] = [];
  let checked = 0;
  let done = 0;
  for (const [index, point] of points.entries()) {
    for (; done < point; done += 1) {
      const step = steps[done];
      if (!step) break;
      disk.perform(step);
      if (step.kind === 'mark') told.push(JSON.parse(step.text) as Told);
    }
    const loss = losses[index % losses.length] ?? 'byChance';
    const failure = await failureAfter(disk, loss, told, random);
    checked += told.length;
    if (failure !== null) failures.push(`after step ${point} (${loss} lost): ${failure}`);
    if ((index + 1) % 200 === 0)
      say(`power: ${index + 1} of ${cuts} cuts${ignoresSyncs ? ' without syncs' : ''}`);
  }
  return { cuts, failures, told: checked };
}

/** What is wrong with what is left, or null. */
async function failureAfter(
  disk: LossyDisk,
  loss: Loss,
  told: readonly Told[],
  random: ReturnType<typeof createSeededRandom>,
): Promise<string | null> {
  // Held in memory where the system offers that: the disk under the test is not what is tested.
  const left = mkdtempSync(join(existsSync('/dev/shm') ? '/dev/shm' : tmpdir(), 'proofarm-cut-'));
  try {
    disk.cut(left, loss, random);
    await expectAll(left, told);
    return null;
  } catch (error) {
    return error instanceof Error ? error.message : String(error);
  } finally {
    rmSync(left, { recursive: true, force: true });
  }
}

/** Throws where the folder does not open, is not sound, or lacks something that was told. */
async function expectAll(folder: string, told: readonly Told[]): Promise<void> {
  const filePath = join(folder, 'proofarm.db');
  const isFirst = told.length === 0 && !existsSync(filePath);
  const database = openDatabase({
    filePath,
    backupFolder: join(folder, 'backups'),
    now: () => new Date(),
    log: { info: () => undefined, warn: () => undefined },
  });
  try {
    const verdict = String(database.pragma('integrity_check', { simple: true }));
    if (verdict !== 'ok') throw new Error(verdict);
    if (isFirst) return;
    const stored = new Map<string, number>();
    for (const one of told) if (one.kind === 'stored') stored.set(one.trialId, one.endSlot);
    for (const [trialId, endSlot] of stored) {
      if (endSlotOf(database, trialId) < endSlot) throw new Error(`Stored samples of ${trialId} are missing`);
    }
    recoverUnfinished(database, new Date().toISOString());
    const trialIds = database.prepare<[], string>('SELECT id FROM trial').pluck().all();
    const digests = new Map(trialIds.map((id) => [id, digestOf(readRecording(database, id).counts)]));
    for (const one of told) {
      if (one.kind === 'kept' && digests.get(one.trialId) !== one.digest)
        throw new Error(`${one.trialId} was kept and is not as it was`);
      if (one.kind === 'voided' && !isVoided(database, one.trialId))
        throw new Error(`${one.trialId} was voided`);
      if (one.kind === 'backedUp')
        await verifyBackup(join(folder, 'backups', one.fileName), { pause: () => Promise.resolve() });
    }
  } finally {
    database.close();
  }
}

function digestOf(counts: Int32Array): string {
  return createHash('sha256').update(counts).digest('hex');
}

function isVoided(database: BetterSqlite3.Database, trialId: string): boolean {
  return (
    database
      .prepare(`SELECT 1 FROM trial WHERE id = ? AND is_voided = 1 AND has_been_kept = 1`)
      .get(trialId) !== undefined
  );
}

function endSlotOf(database: BetterSqlite3.Database, trialId: string): number {
  return (
    database
      .prepare<[string], number | null>(
        'SELECT max(first_slot + slot_count) FROM raw_block WHERE trial_id = ?',
      )
      .pluck()
      .get(trialId) ?? 0
  );
}
