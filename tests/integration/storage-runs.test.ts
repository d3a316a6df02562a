import { copyFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { AppError } from '../../shared-lib/app-error.ts';
import { planRun } from '../../shared-lib/calibration/plan-run.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import {
  findOpenRun,
  getRun,
  getStoredRun,
  insertReading,
  insertRun,
  insertRunEvent,
  type NewReading,
  type RunEvent,
} from '../../main/storage/run-repository.ts';
import { listStandards, removeStandard, saveStandard } from '../../main/storage/standards-repository.ts';
import { demoArm, demoSetup, demoSite, demoWeight } from '../helpers/run-setups.ts';
import { at, databasePath, open, seedBench } from './storage-support/bench-fixture.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

const setup = demoSetup(2);
const readings = planRun(setup, { arm: [24.5, 49], shortArm: [] });

function startRun(database: WritableDatabase, id = 'run-1'): void {
  const transducer = seedOnce(database);
  insertRun(database, {
    id,
    transducerId: transducer,
    amplifierId: null,
    isSimulated: true,
    setup,
    readings,
    operator: 'Demo operator',
    startedAt: at,
  });
}

function seedOnce(database: WritableDatabase): string {
  const present = database.prepare<[], string>('SELECT id FROM transducer').pluck().get();
  return present ?? seedBench(database).id;
}

function taken(index: number, meanCounts = 1000 * index + 0.25): NewReading {
  return {
    index,
    meanCounts,
    standardDeviationCounts: 2.5,
    spreadCounts: 7.125,
    driftCountsPerS: -0.5,
    sampleCount: 500,
    durationS: 0.5,
    takenAt: at,
    by: 'steady',
    flags: [],
  };
}

const event = (kind: RunEvent['kind'], change: Partial<RunEvent> = {}): RunEvent => ({
  kind,
  reason: kind === 'discarded' ? 'Bent arm.' : '',
  operator: '',
  at,
  ...change,
});

describe('a stored run', () => {
  it('comes back as it was begun, paused, with every reading to the last digit', () => {
    const folder = temporaryFolder();
    const database = open(folder);
    startRun(database);
    insertReading(database, 'run-1', taken(0, Math.PI * 1e6));
    insertReading(database, 'run-1', { ...taken(1), by: 'key', flags: [{ code: 'x', sentence: 'Odd.' }] });
    database.close();
    const again = open(folder);
    const run = getRun(again, 'run-1');
    expect(run).toMatchObject({ setup, readings, state: 'paused', nextIndex: 2, replaced: [] });
    expect(run.taken).toEqual([
      { ...taken(0, Math.PI * 1e6), id: 1 },
      { ...taken(1), by: 'key', flags: [{ code: 'x', sentence: 'Odd.' }], id: 2 },
    ]);
    expect(findOpenRun(again, run.transducerId)?.run).toEqual(run);
    again.close();
  });

  it('asks for a withdrawn reading again, and keeps it among the replaced', () => {
    const database = open(temporaryFolder());
    startRun(database);
    for (const index of [0, 1, 2]) insertReading(database, 'run-1', taken(index));
    insertRunEvent(database, 'run-1', event('withdrawn', { readingIndex: 1, readingId: 2 }));
    expect(getRun(database, 'run-1')).toMatchObject({ nextIndex: 1, replaced: [{ ...taken(1), id: 2 }] });
    insertReading(database, 'run-1', taken(1, 7));
    const redone = getRun(database, 'run-1');
    expect(redone.nextIndex).toBe(3);
    expect(redone.taken.map(({ index, meanCounts }) => [index, meanCounts])).toEqual([
      [0, 0.25],
      [1, 7],
      [2, 2000.25],
    ]);
    database.close();
  });

  it('is complete with its last reading, and knows what was handled', () => {
    const database = open(temporaryFolder());
    startRun(database);
    insertRunEvent(database, 'run-1', event('handled', { readingIndex: 3 }));
    expect(getStoredRun(database, 'run-1')).toMatchObject({ handledIndices: [3], standingIndex: 3 });
    for (const { index } of readings) insertReading(database, 'run-1', taken(index));
    expect(getRun(database, 'run-1')).toMatchObject({ state: 'complete', nextIndex: null });
    database.close();
  });

  it('is the only open one of its transducer, and takes nothing once it has ended', () => {
    const database = open(temporaryFolder());
    startRun(database);
    expect(() => {
      startRun(database, 'run-2');
    }).toThrow(AppError);
    insertRunEvent(database, 'run-1', event('discarded'));
    expect(() => {
      insertReading(database, 'run-1', taken(0));
    }).toThrow('open calibration run');
    expect(() => {
      insertRunEvent(database, 'run-1', event('accepted'));
    }).toThrow('has ended');
    startRun(database, 'run-2');
    expect(getRun(database, 'run-1').state).toBe('discarded');
    database.close();
  });

  it.each(['calibration_run', 'calibration_reading', 'calibration_run_event'])(
    'never changes: rows of %s are neither edited nor deleted',
    (table) => {
      const database = open(temporaryFolder());
      startRun(database);
      insertReading(database, 'run-1', taken(0));
      insertRunEvent(database, 'run-1', event('resumed'));
      expect(() => database.exec(`UPDATE ${table} SET id = id`)).toThrow('only grows');
      expect(() => database.exec(`DELETE FROM ${table}`)).toThrow('only grows');
      database.close();
    },
  );

  it('is refused by its code where there is none', () => {
    const database = open(temporaryFolder());
    expect(() => getRun(database, 'nowhere')).toThrow(
      expect.objectContaining({ code: 'calibration-run-not-found' }),
    );
    database.close();
  });

  it('can be begun in a database from before there were runs', () => {
    const folder = temporaryFolder();
    copyFileSync(new URL('../fixtures/databases/form-0020.sqlite', import.meta.url), databasePath(folder));
    const database = open(folder);
    expect(listStandards(database)).toEqual({ weights: [], arms: [], sites: [] });
    startRun(database);
    insertReading(database, 'run-1', taken(0));
    expect(getRun(database, 'run-1').nextIndex).toBe(1);
    database.close();
  });
});

describe('the lists of standards', () => {
  it('hold weights by mass, arms and sites by name, and change where they are saved again', () => {
    const folder = temporaryFolder();
    const database = open(folder);
    saveStandard(database, { kind: 'weight', weight: demoWeight(5) });
    saveStandard(database, { kind: 'weight', weight: demoWeight(2) });
    saveStandard(database, { kind: 'arm', arm: demoArm });
    saveStandard(database, { kind: 'site', site: demoSite });
    saveStandard(database, { kind: 'arm', arm: { ...demoArm, lengthM: 0.501 } });
    database.close();
    const again = open(folder);
    expect(listStandards(again)).toEqual({
      weights: [demoWeight(2), demoWeight(5)],
      arms: [{ ...demoArm, lengthM: 0.501 }],
      sites: [demoSite],
    });
    again.close();
  });

  it('refuse a second one of the same name, however it is written, but not of another kind', () => {
    const database = open(temporaryFolder());
    saveStandard(database, { kind: 'arm', arm: { ...demoArm, name: 'Größe' } });
    expect(() => {
      saveStandard(database, {
        kind: 'arm',
        arm: { ...demoArm, id: 'other', name: 'GRÖSSE'.replace('SS', 'ß') },
      });
    }).toThrow(expect.objectContaining({ code: 'invalid-request' }));
    saveStandard(database, { kind: 'site', site: { ...demoSite, name: 'Größe' } });
    expect(() => {
      saveStandard(database, { kind: 'site', site: { ...demoSite, id: demoArm.id, name: 'Else' } });
    }).toThrow(expect.objectContaining({ code: 'invalid-request' }));
    expect(listStandards(database).arms).toHaveLength(1);
    database.close();
  });

  it('let go of one, and of one kind only', () => {
    const database = open(temporaryFolder());
    saveStandard(database, { kind: 'weight', weight: demoWeight(2) });
    expect(() => {
      removeStandard(database, 'arm', demoWeight(2).id);
    }).toThrow(expect.objectContaining({ code: 'standard-not-found' }));
    removeStandard(database, 'weight', demoWeight(2).id);
    expect(listStandards(database).weights).toEqual([]);
    database.close();
  });
});
