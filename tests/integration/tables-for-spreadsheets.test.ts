import { readdirSync, readFileSync, mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { unzipSync } from 'fflate';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { AppError } from '../../shared-lib/app-error.ts';
import { insertCalibration } from '../../main/storage/calibration-repository.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { performRecordingCommand } from '../../main/storage/recording-commands.ts';
import { readRecording } from '../../main/storage/recording-repository.ts';
import { getTrial } from '../../main/storage/trial-repository.ts';
import { curveParts } from '../../main/tables/curve-csv.ts';
import { readTabledTrial } from '../../main/tables/tabled-trial.ts';
import { type TablesWork, writeTables } from '../../main/tables/write-tables.ts';
import { type DuckDb, openDuckDb } from '../helpers/duckdb.ts';
import { calibration, databasePath, open } from './storage-support/bench-fixture.ts';
import { type ComparedBench, createComparedBench } from './storage-support/compared-bench.ts';
import { checkAt, decideAbout } from './storage-support/failed-check.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

const later = '2026-04-03T08:00:00.000Z';
const quiet = { progress: () => undefined, pause: () => Promise.resolve() };

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
  vi.unstubAllEnvs();
  database.close();
});

/** Writes a ZIP, unpacks it by another library than wrote it, and returns the names in it. */
async function write(
  trialIds: readonly string[],
  others: Partial<TablesWork> = {},
  tools = quiet,
): Promise<string[]> {
  const targetFile = join(folder, 'tables.zip');
  await writeTables(
    { databasePath: databasePath(folder), trialIds, targetFile, separator: ';', decimal: ',', ...others },
    tools,
  );
  const files = unzipSync(readFileSync(targetFile));
  for (const [name, bytes] of Object.entries(files)) {
    mkdirSync(dirname(join(folder, 'out', name)), { recursive: true });
    writeFileSync(join(folder, 'out', name), bytes);
  }
  duck = await openDuckDb(join(folder, 'out'));
  return Object.keys(files);
}

async function query(sql: string): Promise<Record<string, unknown>[]> {
  if (duck === null) throw new Error('Nothing was written');
  return duck.query(sql);
}

const german = `delim = ';', decimal_separator = ',', header = true`;

describe('tables for spreadsheets', () => {
  it('are read by DuckDB to the very figures that are stored', async () => {
    const trialIds = [300, 420].map((risesToNm) => bench.pullCurve({ tool: 'hollin', risesToNm, tauS: 0.4 }));
    await write(trialIds);
    const read = await query(
      `SELECT trial_id, sustained_torque_nm, final_torque_nm, onset_s, time_to_100_nm_s
       FROM read_csv('trial-figures.csv', ${german}) ORDER BY started_at`,
    );
    const stored = trialIds.map((trialId) => {
      const { figures } = getTrial(database, trialId);
      if (figures === null) throw new Error('It was not kept');
      const { sustainedTorqueNm, finalTorqueNm, onsetS, timeToLevel } = figures;
      return {
        trial_id: trialId,
        sustained_torque_nm: 'value' in sustainedTorqueNm ? sustainedTorqueNm.value : null,
        final_torque_nm: 'value' in finalTorqueNm ? finalTorqueNm.value : null,
        onset_s: onsetS,
        time_to_100_nm_s: timeToLevel[0]?.timeS ?? null,
      };
    });
    expect(read).toEqual(stored);
  });

  it.each([
    { separator: ';', decimal: ',' },
    { separator: ',', decimal: '.' },
    { separator: ',', decimal: ',' },
  ] as const)(
    'have the same curve, separated by “$separator” with “$decimal” for the point',
    async (form) => {
      vi.stubEnv('TZ', 'UTC');
      const trialId = bench.pullCurve({ tool: 'hollin', risesToNm: 300, tauS: 0.4 });
      const names = await write([trialId], form);
      const curve = names.find((name) => name.startsWith('curves/')) ?? '';
      expect(curve).toBe('curves/0001-2026-04-01-Hollin-H5-tighten-forward.csv');
      const { counts } = readRecording(database, trialId);
      const { toTorqueNm, timeS } = readTabledTrial(database, trialId);
      const sumNm = counts.reduce((sum, count) => sum + (toTorqueNm?.(count) ?? Number.NaN), 0);
      const [read] = await query(
        `SELECT count(*)::INT AS n, sum(torque_nm) AS sum, min(time_s) AS first, max(time_s) AS last
       FROM read_csv('${curve}', delim = '${form.separator}', decimal_separator = '${form.decimal}', header = true)`,
      );
      expect(read).toMatchObject({ n: counts.length, first: timeS(0), last: timeS(counts.length - 1) });
      expect(read?.['sum']).toBeCloseTo(sumNm, 6);
    },
  );

  it('have the measuring curve beside the samples, from which anybody computes it again', async () => {
    const trialId = bench.pullCurve({ tool: 'hollin', risesToNm: 300, tauS: 0.4 });
    const names = await write([trialId]);
    const curve = names.find((name) => name.startsWith('curves/')) ?? '';
    // At 80 Sa/s the window is 9 samples: 4 to each side.
    const worst = await query(
      `SELECT max(abs(again - measuring_torque_nm)) AS worst, count(measuring_torque_nm)::INT AS n FROM (
         SELECT measuring_torque_nm,
           avg(torque_nm) OVER (ORDER BY time_s ROWS BETWEEN 4 PRECEDING AND 4 FOLLOWING) AS again
         FROM read_csv('${curve}', ${german}))`,
    );
    expect(worst[0]?.['n']).toBe(560);
    expect(worst[0]?.['worst']).toBeLessThan(1e-9);
  });

  it('begin with a byte-order mark and guard text that starts a formula, but no number', async () => {
    const trialId = bench.pullCurve({ tool: 'hollin', risesToNm: 300, tauS: 0.4 });
    database.exec(`UPDATE trial SET shown_tool_name = '=HYPERLINK("x")'`);
    await write([trialId]);
    const text = readFileSync(join(folder, 'out', 'trial-figures.csv'), 'utf8');
    expect(text.startsWith('\uFEFFtrial_id;')).toBe(true);
    const [row] = await query(`SELECT tool FROM read_csv('trial-figures.csv', ${german})`);
    expect(row).toEqual({ tool: `'=HYPERLINK("x")` });
    const curves = readdirSync(join(folder, 'out', 'curves'));
    const curve = readFileSync(join(folder, 'out', 'curves', curves[0] ?? ''), 'utf8');
    expect(curve.split('\r\n')[1]).toMatch(/^-1,0\d+;/);
    expect(curve).not.toContain("'");
  });

  it('name the sittings and the tools, and say what every column means', async () => {
    await write([bench.pullCurve({ tool: 'hollin', risesToNm: 300, tauS: 0.4 })]);
    expect(await query(`SELECT session_id, operator FROM read_csv('sessions.csv', ${german})`)).toEqual([
      { session_id: 'session-day-1', operator: 'Demo operator' },
    ]);
    expect(await query(`SELECT tool_id, name FROM read_csv('tools.csv', ${german})`)).toEqual([
      { tool_id: 'tool-hollin', name: 'Hollin H5' },
    ]);
    const unexplained = await query(
      `SELECT * FROM read_csv('columns.csv', ${german}) WHERE meaning IS NULL OR meaning = ''`,
    );
    expect(unexplained).toEqual([]);
  });

  it('name a curve by the day of the operator', async () => {
    // It was pulled at 08:01 UTC of the next day.
    vi.stubEnv('TZ', 'Pacific/Honolulu');
    const names = await write([bench.pullCurve({ tool: 'hollin', risesToNm: 300, tauS: 0.4 })]);
    expect(names).toContain('curves/0001-2026-03-31-Hollin-H5-tighten-forward.csv');
  });

  it('say which trials were excluded after a failed check, which were found usable and which wait', async () => {
    const pull = (session?: string): string =>
      bench.pullCurve({ tool: 'hollin', risesToNm: 300, tauS: 0.4, ...(session && { session }) });
    const [excluded, usable, undecided] = [pull(), pull(), pull()];
    checkAt(database, '2026-04-01T08:30:00.000Z', 'failed');
    checkAt(database, '2026-04-01T08:40:00.000Z', 'passed');
    decideAbout(database, excluded, 'excluded');
    decideAbout(database, usable, 'usable');
    bench.session('session-day-2', '2026-04-02T08:00:00.000Z');
    const unmarked = pull('session-day-2');
    await write([excluded, usable, undecided, unmarked]);
    expect(
      await query(
        `SELECT trial_id, suspicion FROM read_csv('trial-figures.csv', ${german}) ORDER BY started_at`,
      ),
    ).toEqual([
      { trial_id: excluded, suspicion: 'excluded' },
      { trial_id: usable, suspicion: 'usable' },
      { trial_id: undecided, suspicion: 'undecided' },
      { trial_id: unmarked, suspicion: null },
    ]);
    expect(readFileSync(join(folder, 'out', 'read-me.txt'), 'utf8')).toContain('(suspicion: excluded)');
  });

  it('have every calibration that figures rest on, with the uncertainty that it states', async () => {
    const trialId = bench.pullCurve({ tool: 'hollin', risesToNm: 300, tauS: 0.4 });
    insertCalibration(
      database,
      calibration({
        id: 'calibration-2',
        label: '=Better',
        enteredUncertaintyPercent: null,
        createdAt: later,
      }),
      { reason: 'A better one (demo).' },
    );
    performRecordingCommand(database, {
      type: 'assign',
      trialId,
      assigned: { calibrationId: 'calibration-2', reason: 'It is truer (demo).', operator: '', at: later },
      levelsNm: [],
    });
    await write([trialId]);
    const read = await query(
      `SELECT calibration_id, label, method, forward_gain_nm_per_count, is_straight, uncertainty_percent,
         strftime(created_at, '%Y-%m-%d') AS created
       FROM read_csv('calibrations.csv', ${german}) ORDER BY calibration_id`,
    );
    const same = { method: 'direct', forward_gain_nm_per_count: 0.00025, is_straight: true };
    expect(read).toEqual([
      {
        ...same,
        calibration_id: 'calibration-1',
        label: 'Demo calibration',
        uncertainty_percent: 0.5,
        created: '2026-03-04',
      },
      {
        ...same,
        calibration_id: 'calibration-2',
        label: "'=Better",
        uncertainty_percent: null,
        created: '2026-04-03',
      },
    ]);
    expect(
      await query(
        `SELECT calibration_id, uncertainty_percent FROM read_csv('trial-figures.csv', ${german}) AS trials
         JOIN read_csv('calibrations.csv', ${german}) AS calibrations USING (calibration_id)`,
      ),
    ).toEqual([{ calibration_id: 'calibration-2', uncertainty_percent: null }]);
    expect(readFileSync(join(folder, 'out', 'read-me.txt'), 'utf8')).toMatch(/^calibrations\.csv /m);
  });

  it('show neither figures nor curve of a trial that was never kept', async () => {
    const names = await write([bench.pull({ tool: 'brindlow', state: 'reviewing' })]);
    expect(names.filter((name) => name.startsWith('curves/'))).toEqual([]);
    const [row] = await query(
      `SELECT state, sustained_torque_nm, quality FROM read_csv('trial-figures.csv', ${german}, all_varchar = true)`,
    );
    expect(row).toEqual({ state: 'reviewing', sustained_torque_nm: null, quality: null });
    expect(readFileSync(join(folder, 'out', 'read-me.txt'), 'utf8')).toContain(
      '1 of the trials were never kept',
    );
  });

  it('go on in a further file where a curve is longer than a spreadsheet', () => {
    const trialId = bench.pullCurve({ tool: 'hollin', risesToNm: 300, tauS: 0.4 });
    const trial = readTabledTrial(database, trialId);
    const form = { separator: ',', decimal: '.', guardsFormulas: true } as const;
    const whole = curveParts(() => database, trial, form) ?? [];
    const parts = curveParts(() => database, trial, form, 200) ?? [];
    const linesOf = (part: (typeof parts)[number]): string[] =>
      [...part.pieces()].join('').split('\r\n').slice(1, -1);
    expect(parts.map(({ number }) => number)).toEqual([1, 2, 3]);
    expect(parts.flatMap(linesOf)).toEqual(whole.flatMap(linesOf));
  });
});

describe('tables that cannot be finished', () => {
  it('leave nothing behind when they are cancelled', async () => {
    const trialIds = [1, 2, 3].map(() => bench.pullCurve({ tool: 'hollin', risesToNm: 300, tauS: 0.4 }));
    let pauses = 0;
    const cancelled = write(
      trialIds,
      {},
      {
        ...quiet,
        pause: () => {
          pauses += 1;
          return pauses < 4
            ? Promise.resolve()
            : Promise.reject(new AppError('cancelled', 'It was cancelled; nothing of it was kept.'));
        },
      },
    );
    await expect(cancelled).rejects.toMatchObject({ code: 'cancelled' });
    expect(readdirSync(folder).filter((name) => name.startsWith('tables'))).toEqual([]);
  });

  it('leave nothing behind when samples are damaged', async () => {
    const trialId = bench.pullCurve({ tool: 'hollin', risesToNm: 300, tauS: 0.4 });
    database.exec(`DROP TRIGGER raw_block_is_never_edited; UPDATE raw_block SET crc32 = crc32 + 1`);
    await expect(write([trialId])).rejects.toMatchObject({ code: 'block-corrupt' });
    expect(readdirSync(folder).filter((name) => name.startsWith('tables'))).toEqual([]);
  });
});
