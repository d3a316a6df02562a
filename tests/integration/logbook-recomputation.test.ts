import { copyFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type BetterSqlite3 from 'better-sqlite3';
import { afterEach, describe, expect, it } from 'vitest';
import { countOutdated, evaluateNext, measureAnew } from '../../main/storage/measure-anew.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { appendBlock, beginTrial, finishRecording } from '../../main/storage/recording-repository.ts';
import { getTrial } from '../../main/storage/trial-repository.ts';
import { DEFINITION_VERSION } from '../../shared-lib/trial/definition-version.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';
import { armFedBench, confirmFedSense, startFedBench } from '../helpers/bench-with-fed-reader.ts';
import { makeDataFolder, startRealServices, type RunningServices } from '../helpers/running-services.ts';
import { at, block, ended, figures, newTrial, open, seedBench } from './storage-support/bench-fixture.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

const later = '2026-05-06T07:08:09.000Z';

/** 300 N m from one second on, at 1000 Sa/s, under the calibration of the fixture (0.25 mN m a count, zero 100.25). */
function storePull(
  database: WritableDatabase,
  transducer: Transducer,
  id: string,
  startedAt: string,
  definitionVersion = 1,
): void {
  beginTrial(database, newTrial(transducer, { id, startedAt }), []);
  const counts = Array.from({ length: 8000 }, (_, i) => (i < 1000 || i > 6500 ? 100 : 1_200_100));
  appendBlock(database, id, block(0, counts));
  finishRecording(database, id, {
    ...ended('kept', { sampleRateHz: 1000, zeroAfterCounts: 100.25, onsetSlot: 950 }),
    figures: { ...figures(321.5), definitionVersion },
  });
}

/** As a disk does that loses its memory; the triggers would refuse it. */
function damage(database: BetterSqlite3.Database, trialId: string): void {
  database.exec('DROP TRIGGER raw_block_is_never_edited');
  database.prepare('UPDATE raw_block SET crc32 = crc32 + 1 WHERE trial_id = ?').run(trialId);
}

describe('measuring anew by the definition of today', () => {
  it('takes the newest trial first, keeps what was computed before, and leaves the others alone', () => {
    const database = open(temporaryFolder());
    const transducer = seedBench(database);
    storePull(database, transducer, 'older', '2026-03-01T05:00:00.000Z');
    storePull(database, transducer, 'newer', '2026-03-02T05:00:00.000Z');
    storePull(database, transducer, 'of today', '2026-03-03T05:00:00.000Z', DEFINITION_VERSION);
    const before = getTrial(database, 'older');
    expect(countOutdated(database)).toBe(2);
    expect(evaluateNext(database, [], later)).toEqual({ trialId: 'newer', problem: null });
    expect(evaluateNext(database, [], later)).toEqual({ trialId: 'older', problem: null });
    expect(evaluateNext(database, [], later)).toBeNull();
    expect(countOutdated(database)).toBe(0);

    const after = getTrial(database, 'older');
    expect(after.evaluations).toMatchObject([
      { definitionVersion: 1, at, sustainedTorqueNm: 321.5, verdict: 'good' },
      { definitionVersion: DEFINITION_VERSION, at: later },
    ]);
    expect(after.evaluations[1]?.sustainedTorqueNm).toBeCloseTo(300, 0);
    expect(after.figures).toEqual(measureAnew(database, 'older', []));
    // The levels stay those that the operator had chosen then.
    expect(after.figures?.timeToLevel.map(({ levelNm }) => levelNm)).toEqual([100]);
    expect({ ...after, figures: null, evaluations: [], summary: null }).toEqual({
      ...before,
      figures: null,
      evaluations: [],
      summary: null,
    });
    expect(after.summary.sustainedTorqueNm).toBe(after.evaluations[1]?.sustainedTorqueNm);
    expect(getTrial(database, 'of today').evaluations).toHaveLength(1);
    database.close();
  });

  it('passes over one that is recorded or that was never measured', () => {
    const database = open(temporaryFolder());
    const transducer = seedBench(database);
    beginTrial(database, newTrial(transducer, { id: 'recording' }), []);
    beginTrial(database, newTrial(transducer, { id: 'unmeasured' }), [block(0, [1, 2, 3])]);
    finishRecording(database, 'unmeasured', ended('interrupted', { figures: null }));
    expect(countOutdated(database)).toBe(0);
    expect(evaluateNext(database, [], later)).toBeNull();
    database.close();
  });

  it('names one whose samples cannot be read, and goes on without it', () => {
    const database = open(temporaryFolder());
    const transducer = seedBench(database);
    storePull(database, transducer, 'damaged', '2026-03-02T05:00:00.000Z');
    storePull(database, transducer, 'sound', '2026-03-01T05:00:00.000Z');
    damage(database, 'damaged');
    const failed = evaluateNext(database, [], later);
    expect(failed).toMatchObject({ trialId: 'damaged' });
    expect(failed?.problem).toContain('damaged');
    expect(evaluateNext(database, ['damaged'], later)).toEqual({ trialId: 'sound', problem: null });
    expect(evaluateNext(database, ['damaged'], later)).toBeNull();
    expect(getTrial(database, 'damaged').figures).toEqual(figures(321.5));
    database.close();
  });

  it('finds what is outdated in its index', () => {
    const database = open(temporaryFolder());
    for (const sql of [
      `SELECT count(*) FROM trial WHERE newest_definition < 2 AND state <> 'recording'`,
      `SELECT id FROM trial WHERE newest_definition < 2 AND state <> 'recording'
       AND id NOT IN (SELECT value FROM json_each('[]')) ORDER BY newest_definition, started_at DESC LIMIT 1`,
    ]) {
      const plan = database
        .prepare<[], { detail: string }>(`EXPLAIN QUERY PLAN ${sql}`)
        .all()
        .map(({ detail }) => detail);
      expect(plan[0]).toContain('SEARCH trial USING COVERING INDEX trial_by_definition');
      expect(plan.join()).not.toContain('TEMP B-TREE');
    }
    database.close();
  });
});

describe('trials of older forms', () => {
  let running: RunningServices | null = null;
  let folder: ReturnType<typeof makeDataFolder> | null = null;
  afterEach(async () => {
    await running?.close();
    folder?.remove();
    running = null;
    folder = null;
  });

  const start = async (fill: (databasePath: string) => void): Promise<RunningServices> => {
    folder = makeDataFolder();
    fill(join(folder.path, 'proofarm.db'));
    running = await startRealServices(folder.path);
    return running;
  };
  const untilIdle = async (services: RunningServices, outdated: number, failed: number): Promise<void> => {
    const deadline = Date.now() + 20_000;
    for (;;) {
      const { outdatedCount, failedCount } = await services.handlers.getRecomputation({});
      if (outdatedCount === outdated && failedCount === failed) return;
      if (Date.now() > deadline) throw new Error(`Still ${outdatedCount} outdated, ${failedCount} failed`);
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
  };

  it.each(['form-0010', 'form-0020', 'form-0040'])('%s have both values in their trail', async (form) => {
    const services = await start((databasePath) => {
      copyFileSync(
        fileURLToPath(new URL(`../fixtures/databases/${form}.sqlite`, import.meta.url)),
        databasePath,
      );
    });
    await untilIdle(services, 0, 0);
    const {
      evaluations,
      figures: newest,
      summary,
    } = await services.handlers.getTrial({ trialId: 'trial-1' });
    expect(evaluations).toMatchObject([
      { definitionVersion: 1, sustainedTorqueNm: 321.5 },
      // A ramp of a few N m: none of it is an onset by the record's own level.
      { definitionVersion: DEFINITION_VERSION, sustainedTorqueNm: null },
    ]);
    expect(newest).toMatchObject({ definitionVersion: DEFINITION_VERSION });
    expect(summary.sustainedTorqueNm).toBeNull();
    // What waits is counted a moment before it is told which ones are done.
    await expect.poll(() => services.seen('trialsChanged')).toContainEqual({ trialId: 'trial-1' });
    // It was cut short and nobody has kept it: nothing was measured, and nothing is.
    expect(await services.handlers.getTrial({ trialId: 'trial-2' })).toMatchObject({ evaluations: [] });
  });

  it('of which one cannot be read are measured but for that one, which is counted and told once', async () => {
    const services = await start((databasePath) => {
      const database = open(join(databasePath, '..', 'making'), {
        filePath: databasePath,
        backupFolder: join(databasePath, '..', 'backups'),
      });
      const transducer = seedBench(database);
      storePull(database, transducer, 'damaged', '2026-03-02T05:00:00.000Z');
      storePull(database, transducer, 'sound', '2026-03-01T05:00:00.000Z');
      damage(database, 'damaged');
      database.close();
    });
    await untilIdle(services, 1, 1);
    // Whatever wakes it later, the damaged one is not tried again.
    await services.handlers.annotateTrial({ trialId: 'sound', note: 'Looked at again.', tags: [] });
    await new Promise((resolve) => setTimeout(resolve, 300));
    await untilIdle(services, 1, 1);
    const told = services.logLines.filter((line) => line.includes('could not be measured anew'));
    expect(told).toHaveLength(1);
    const sound = await services.handlers.getTrial({ trialId: 'sound' });
    expect(sound.evaluations.map(({ definitionVersion }) => definitionVersion)).toEqual([
      1,
      DEFINITION_VERSION,
    ]);
    expect((await services.handlers.getTrial({ trialId: 'damaged' })).figures?.definitionVersion).toBe(1);
  });
});

describe('a trial under way', () => {
  it('is not competed with: measuring anew waits until it is over', async () => {
    const bench = await startFedBench({ plannedS: 4 });
    await confirmFedSense(bench);
    const pull = async (): Promise<string> => {
      await armFedBench(bench);
      bench.feed(200, 5.2);
      bench.feed(0, 3);
      return (await bench.untilPhase('kept')).trialId;
    };
    const trialId = await pull();
    const outdated = async (): Promise<number> => (await bench.handlers.getRecomputation({})).outdatedCount;

    await armFedBench(bench);
    bench.feed(200, 0.5);
    bench.trial('run');
    bench.database
      .prepare(
        `INSERT INTO trial_evaluation (trial_id, definition_version, calibration_id, figures_json, at)
         SELECT trial_id, 1, calibration_id, json_set(figures_json, '$.definitionVersion', 1), at
         FROM trial_evaluation WHERE trial_id = ?`,
      )
      .run(trialId);
    await bench.handlers.annotateTrial({ trialId, note: 'This wakes it.', tags: [] });
    // Both kinds of time, so that a step would be taken and answered in the middle of the run.
    for (let block = 0; block < 100; block += 1) {
      bench.feed(200, 0.02);
      const goOnAt = performance.now() + 5;
      await bench.until('the thread', () => performance.now() > goOnAt);
    }
    bench.trial('run');
    expect(await outdated()).toBe(1);
    bench.feed(200, 2.7);
    bench.feed(0, 3);
    await bench.untilPhase('kept');
    bench.feed(0, 2);
    let left = 1;
    await bench.until('the trial to be measured anew', () => {
      bench.wait(0.02);
      void outdated().then((count) => {
        left = count;
      });
      return left === 0;
    });
    const { evaluations } = await bench.handlers.getTrial({ trialId });
    expect(evaluations.map(({ definitionVersion }) => definitionVersion)).toEqual([
      DEFINITION_VERSION,
      1,
      DEFINITION_VERSION,
    ]);
    expect(evaluations[2]).toMatchObject({ sustainedTorqueNm: evaluations[0]?.sustainedTorqueNm });
    await bench.close();
  });
});
