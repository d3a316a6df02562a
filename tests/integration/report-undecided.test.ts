import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openDatabase } from '../../main/storage/open-database.ts';
import { makeDataFolder, type RunningServices, startRealServices } from '../helpers/running-services.ts';
import { wordsOf } from '../helpers/scripted-reports.ts';
import { createComparedBench } from './storage-support/compared-bench.ts';

/** A report must not be a way to see figures before a trial is kept or voided. */
const folder = makeDataFolder();
let running: RunningServices;

beforeAll(async () => {
  const database = openDatabase({
    filePath: join(folder.path, 'proofarm.db'),
    backupFolder: join(folder.path, 'backups'),
    now: () => new Date('2026-03-04T08:00:00.000Z'),
    log: { info: () => undefined, warn: () => undefined },
  });
  const bench = createComparedBench(database);
  bench.pull({ tool: 'hollin', id: 'kept', sustainedNm: 411 });
  bench.pull({ tool: 'hollin', id: 'undecided', sustainedNm: 777, state: 'reviewing', verdict: 'look' });
  database.close();
  running = await startRealServices(folder.path);
});

afterAll(async () => {
  await running.close();
  folder.remove();
});

describe('a trial that nobody has decided on', () => {
  it('has no report of its own, and the refusal says what to do', async () => {
    await expect(
      running.handlers.getReport({ subject: { kind: 'trial', trialId: 'undecided' }, torqueUnit: 'Nm' }),
    ).rejects.toMatchObject({
      code: 'invalid-state',
      message: expect.stringContaining('Keep it or void it first'),
    });
  });

  it('stands in the report of its session without its torque', async () => {
    const report = await running.handlers.getReport({
      subject: { kind: 'session', sessionId: 'session-day-1' },
      torqueUnit: 'Nm',
    });
    const words = wordsOf(report);
    expect(words).toContain('411');
    expect(words).toContain('To be decided');
    expect(words).not.toContain('777');
  });
});
