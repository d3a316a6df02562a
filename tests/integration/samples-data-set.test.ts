import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { figureColumns, recordColumns } from '../../shared-lib/tables/figures-columns.ts';
import { judgementColumns } from '../../shared-lib/tables/judgement-columns.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { beginTrial, finishRecording, readRecording } from '../../main/storage/recording-repository.ts';
import { repackTrial } from '../../main/storage/repack-trial.ts';
import { getTrial, recordDecision } from '../../main/storage/trial-repository.ts';
import { createSampleRows } from '../../main/tables/sample-rows.ts';
import { writeSamples } from '../../main/tables/write-samples.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { type DuckDb, openDuckDb } from '../helpers/duckdb.ts';
import { block, databasePath, decision, ended, newTrial, open } from './storage-support/bench-fixture.ts';
import { type ComparedBench, createComparedBench } from './storage-support/compared-bench.ts';
import { checkAt, decideAbout } from './storage-support/failed-check.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

const quiet = { progress: () => undefined, pause: () => Promise.resolve() };
const own = { id: 'bench-own', name: 'Own bench (demo)' };

let folder: string;
let database: WritableDatabase;
let bench: ComparedBench;
let duck: DuckDb | null = null;

beforeEach(() => {
  folder = temporaryFolder();
  database = open(folder);
  bench = createComparedBench(database);
});

afterEach(() => {
  duck?.close();
  duck = null;
  database.close();
});

const target = (): string => join(folder, 'samples-of-demo');

async function write(trialIds: readonly string[], tools = quiet): Promise<DuckDb> {
  await writeSamples(
    { databasePath: databasePath(folder), bench: own, trialIds, targetFolder: target() },
    tools,
  );
  duck = await openDuckDb(target());
  return duck;
}

/** Two days, one trial packed, one voided, one that was never kept, one of another bench. */
function pullSome(): string[] {
  const first = bench.pullCurve({ tool: 'hollin', risesToNm: 300, tauS: 0.4 });
  repackTrial(database, first);
  const second = bench.pullCurve({ tool: 'tarnwick', risesToNm: 420, tauS: 0.6 });
  recordDecision(database, second, { ...decision('voided'), reason: 'Slipped off (demo)' });
  bench.session('session-day-2', '2026-04-02T23:59:30.000Z');
  const late = bench.pullCurve({ tool: 'hollin', session: 'session-day-2', risesToNm: 310, tauS: 0.4 });
  const undecided = bench.pull({ tool: 'brindlow', state: 'reviewing' });
  const foreign = bench.pullCurve({ tool: 'brindlow', risesToNm: 250, tauS: 0.3 });
  database.exec(`
    INSERT INTO bench (id, name, is_own) VALUES ('../bench b', 'Bench B (demo)', 0);
    INSERT INTO import VALUES ('import-1', '2026-04-03T00:00:00.000Z', '', 'package', 'b.zip', 'f', '../bench b', '{}');
    INSERT INTO imported_row VALUES ('trial', '${foreign}', '../bench b', 'import-1');`);
  return [first, second, late, undecided, foreign];
}

describe('samples as a data set', () => {
  it('is read by DuckDB to the very counts that are stored', async () => {
    const trialIds = pullSome();
    const query = await write(trialIds);
    const read = await query.query(
      `SELECT trial_id, count(*)::INT AS samples, sum(counts)::DOUBLE AS sum, min(slot) AS first, max(slot) AS last
       FROM 'samples/*/*/*.parquet' GROUP BY trial_id ORDER BY trial_id`,
    );
    const stored = trialIds.toSorted().map((trialId) => {
      const { counts, gaps } = readRecording(database, trialId);
      const isLost = (slot: number): boolean =>
        gaps.some(({ offset, length }) => slot >= offset && slot < offset + length);
      const present = [...counts.keys()].filter((slot) => !isLost(slot));
      return {
        trial_id: trialId,
        samples: present.length,
        sum: present.reduce((sum, slot) => sum + (counts[slot] ?? 0), 0),
        first: present[0],
        last: present.at(-1),
      };
    });
    expect(read).toEqual(stored);
  });

  it('lies by the bench a trial was pulled on and its UTC day, however strange the name of a bench is', async () => {
    const query = await write(pullSome());
    expect(readdirSync(join(target(), 'samples')).toSorted()).toEqual([
      'bench=%2E%2E%2Fbench%20b',
      'bench=bench-own',
    ]);
    expect(readdirSync(join(target(), 'samples', 'bench=bench-own')).toSorted()).toEqual([
      'day=2026-04-01',
      'day=2026-04-03',
    ]);
    const benches = await query.query(
      `SELECT DISTINCT bench, bench_name FROM 'trials/*/*.parquet' ORDER BY bench`,
    );
    expect(benches).toEqual([
      { bench: '../bench b', bench_name: 'Bench B (demo)' },
      { bench: 'bench-own', bench_name: 'Own bench (demo)' },
    ]);
  });

  it('has figures as they are stored, and neither figures nor torque of a trial that was never kept', async () => {
    const trialIds = pullSome();
    const query = await write(trialIds);
    const figures = await query.query(
      `SELECT trial_id, sustained_torque_nm, onset_s FROM 'figures/*/*.parquet' ORDER BY trial_id`,
    );
    const stored = trialIds
      .toSorted()
      .map((trialId) => getTrial(database, trialId))
      .flatMap(({ summary, figures: kept }) =>
        kept === null || !('value' in kept.sustainedTorqueNm)
          ? []
          : [
              {
                trial_id: summary.id,
                sustained_torque_nm: kept.sustainedTorqueNm.value,
                onset_s: kept.onsetS,
              },
            ],
      );
    expect(figures).toEqual(stored);
    expect(figures).toHaveLength(4);
    const undecided = await query.query(
      `SELECT count(*)::INT AS samples, count(torque_nm)::INT AS torques FROM 'samples/*/*/*.parquet'
       JOIN 'trials/*/*.parquet' AS trials USING (trial_id) WHERE state = 'reviewing'`,
    );
    expect(undecided).toEqual([{ samples: 3, torques: 0 }]);
  });

  it('runs every query of its documentation, and those that look for differences find none', async () => {
    const query = await write(pullSome());
    const queries = sqlOf('sql').flatMap((text) => text.split(';').map((one) => one.trim()));
    const results = new Map<string, Record<string, unknown>[]>();
    for (const sql of queries.filter((text) => text !== '')) results.set(sql, await query.query(sql));
    expect(results.size).toBeGreaterThanOrEqual(14);
    const differences = [...results].filter(([sql]) => /again_nm|mean_nm - f\.final/.test(sql));
    expect(differences.map(([, rows]) => rows)).toEqual([[], []]);
    const missing = [...results].find(([sql]) => sql.includes('AS missing'));
    expect(missing?.[1].map((row) => row['missing'])).toEqual(['0', '0', '0', '0', '0']);
    // What is compared by them is there at all.
    expect(await query.query(`SELECT count(torque_nm)::INT AS n FROM samples`)).toEqual([{ n: 4 * 560 }]);
    expect(await query.query(`SELECT count(final_torque_nm)::INT AS n FROM figures`)).toEqual([{ n: 4 }]);
  });

  it('says what became of trials under a failed check, and what is documented counts no excluded one', async () => {
    const pull = (): string => bench.pullCurve({ tool: 'hollin', risesToNm: 300, tauS: 0.4 });
    const [excluded, usable, undecided] = [pull(), pull(), pull()];
    checkAt(database, '2026-04-01T08:30:00.000Z', 'failed');
    decideAbout(database, excluded, 'excluded');
    decideAbout(database, usable, 'usable');
    const query = await write([excluded, usable, undecided]);
    const [views = '', ...documented] = sqlOf('sql');
    for (const sql of views.split(';').filter((text) => text.trim() !== '')) await query.query(sql);
    expect(await query.query(`SELECT trial_id, suspicion FROM trials ORDER BY started_at`)).toEqual([
      { trial_id: excluded, suspicion: 'excluded' },
      { trial_id: usable, suspicion: 'usable' },
      { trial_id: undecided, suspicion: 'undecided' },
    ]);
    const counting = documented.filter((sql) => sql.includes('AS pulls'));
    expect(counting).toHaveLength(3);
    for (const sql of counting) {
      expect(
        (await query.query(sql)).map((row) => Number(row['pulls'])),
        sql,
      ).toEqual([2]);
    }
    expect(readFileSync(join(target(), 'README.md'), 'utf8')).toContain("`trials.suspicion` says 'excluded'");
    const [newest = ''] = sqlOf('sqlite').filter((sql) => sql.includes('quality_verdict'));
    expect(database.prepare<[], string>(newest).pluck().all()).toEqual([usable, undecided]);
  });

  it('is documented down to the last column', () => {
    const text = readFileSync('docs/data-files.md', 'utf8');
    for (const { name, description } of [...recordColumns, ...figureColumns, ...judgementColumns]) {
      const row = text.split('\n').find((line) => line.startsWith(`| \`${name}\` `));
      expect(row?.replace(/ +/g, ' '), name).toContain(` ${description} |`);
    }
  });

  it('has queries for the database that SQLite takes', () => {
    pullSome();
    for (const sql of sqlOf('sqlite')) expect(database.prepare(sql).all().length).toBeGreaterThan(0);
  });

  it('goes on in further files and row groups where a day is long, and says the same', async () => {
    const counts = Int32Array.from({ length: 2500 }, (_, index) => index * index);
    const trial = {
      record: getTrial(database, bench.pullCurve({ tool: 'hollin', risesToNm: 300, tauS: 0.4 })),
      timeS: (slot: number) => slot / 1000,
      toTorqueNm: (count: number) => count / 7,
    };
    const rows = createSampleRows((part) => join(target(), `part-${part}.parquet`), {
      rowsPerGroup: 100,
      rowsPerFile: 1000,
    });
    expect([...rows.add(trial, { firstSlot: 10, counts })]).toHaveLength(25);
    rows.close();
    expect(readdirSync(target()).toSorted()).toEqual(['part-0.parquet', 'part-1.parquet', 'part-2.parquet']);
    duck = await openDuckDb(target());
    expect(
      await duck.query(
        `SELECT count(*)::INT AS n, sum(counts)::DOUBLE AS counts, sum(slot)::INT AS slots, bool_and(torque_nm = counts / 7.0) AS same
         FROM '*.parquet'`,
      ),
    ).toEqual([
      {
        n: 2500,
        counts: counts.reduce((sum, count) => sum + count, 0),
        slots: 2500 * 10 + (2499 * 2500) / 2,
        same: true,
      },
    ]);
  });

  it('has no row for a slot that was lost, be it named by a block or between two', async () => {
    const trial = newTrial(bench.simulated, { id: 'with-gaps' });
    beginTrial(database, trial, [
      { ...block(0, [5, 0, 7]), gaps: [{ offset: 1, length: 1 }] },
      block(6, [8, 9]),
    ]);
    finishRecording(database, trial.id, ended('interrupted', { figures: null }));
    const query = await write([trial.id]);
    const rows = await query.query(`SELECT slot, counts FROM 'samples/*/*/*.parquet' ORDER BY slot`);
    expect(rows.map((row) => [row['slot'], row['counts']])).toEqual([
      [0, 5],
      [2, 7],
      [6, 8],
      [7, 9],
    ]);
    expect(await query.query(`SELECT slot_count, lost_slots FROM 'trials/*/*.parquet'`)).toEqual([
      { slot_count: 8, lost_slots: 4 },
    ]);
  });

  it('leaves out a trial that is still recorded', async () => {
    const kept = bench.pullCurve({ tool: 'hollin', risesToNm: 300, tauS: 0.4 });
    beginTrial(database, newTrial(bench.simulated, { id: 'under-way' }), [block(0, [1, 2, 3])]);
    const query = await write([kept, 'under-way']);
    expect(await query.query(`SELECT trial_id FROM 'trials/*/*.parquet'`)).toEqual([{ trial_id: kept }]);
  });
});

describe('a data set that cannot be finished', () => {
  it('leaves nothing behind when it is cancelled', async () => {
    const trialIds = pullSome();
    let pauses = 0;
    const cancelled = write(trialIds, {
      ...quiet,
      pause: () => {
        pauses += 1;
        return pauses < 3
          ? Promise.resolve()
          : Promise.reject(new AppError('cancelled', 'It was cancelled; nothing of it was kept.'));
      },
    });
    await expect(cancelled).rejects.toMatchObject({ code: 'cancelled' });
    expect(readdirSync(folder).filter((name) => name.startsWith('samples'))).toEqual([]);
  });

  it('leaves nothing behind when samples are damaged, and names them', async () => {
    const trialIds = pullSome();
    const [first = ''] = trialIds;
    database.exec(`DROP TRIGGER raw_block_is_never_edited`);
    database.prepare('UPDATE raw_block SET crc32 = crc32 + 1 WHERE trial_id = ?').run(first);
    await expect(write(trialIds)).rejects.toMatchObject({ code: 'block-corrupt' });
    expect(readdirSync(folder).filter((name) => name.startsWith('samples'))).toEqual([]);
  });

  it('harms nothing that is there under its name', async () => {
    const trialIds = pullSome();
    mkdirSync(target());
    writeFileSync(join(target(), 'mine.txt'), 'mine');
    await expect(write(trialIds)).rejects.toMatchObject({ code: 'invalid-state' });
    expect(readFileSync(join(target(), 'mine.txt'), 'utf8')).toBe('mine');
    expect(existsSync(`${target()}.part`)).toBe(false);
  });

  it('says that the folder cannot be written to', async () => {
    const trialIds = pullSome();
    writeFileSync(join(folder, 'a-file'), '');
    const work = writeSamples(
      {
        databasePath: databasePath(folder),
        bench: own,
        trialIds,
        targetFolder: join(folder, 'a-file', 'set'),
      },
      quiet,
    );
    await expect(work).rejects.toMatchObject({ code: 'data-folder-unusable' });
  });
});

/** The blocks of one language in the documentation. */
function sqlOf(language: string): string[] {
  const text = readFileSync('docs/data-files.md', 'utf8');
  return [...text.matchAll(new RegExp(`\`\`\`${language}\\n([\\s\\S]*?)\`\`\``, 'g'))].map(
    ([, sql]) => sql ?? '',
  );
}
