import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';
import { createCalibrationInUse, type CalibrationInUse } from '../../main/bench/calibration-in-use.ts';
import { getCalibration, insertCalibration } from '../../main/storage/calibration-repository.ts';
import { insertCheck, insertOverload } from '../../main/storage/check-repository.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { recordDecision } from '../../main/storage/trial-repository.ts';
import {
  calibration,
  conditions,
  decision,
  open,
  seedBench,
  storeTrial,
} from './storage-support/bench-fixture.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

let database: WritableDatabase;
let transducer: Transducer;
let now: Date;
let inUse: CalibrationInUse;

const limited = 'calibration-2';
/** By the calendar of this computer: a day ends at the operator's midnight. */
const at = (day: number, hour: number, minute = 0): Date => new Date(2026, 2, day, hour, minute);

beforeEach(() => {
  database = open(temporaryFolder());
  transducer = { ...seedBench(database), activeCalibrationId: limited };
  insertCalibration(
    database,
    calibration({
      id: limited,
      validUntil: '2026-03-06',
      validForTrials: 2,
      createdAt: at(5, 6).toISOString(),
    }),
    { reason: 'In a test.' },
  );
  now = at(5, 12);
  inUse = createCalibrationInUse(database, { now: () => now, monotonicUs: () => 0 });
});
afterEach(() => {
  database.close();
});

const view = () => inUse.view(getCalibration(database, limited));

function check(when: Date, verdict: 'passed' | 'failed'): void {
  insertCheck(database, {
    transducerId: transducer.id,
    calibrationId: limited,
    at: when.toISOString(),
    operator: '',
    means: { kind: 'shunt' },
    zeroCounts: 0,
    readingCounts: 1,
    referenceNm: 1,
    readingNm: 1,
    errorNm: 0,
    limitNm: 1,
    verdict,
    reasons: [],
  });
  inUse.changed();
}

describe('the calibration in use', () => {
  it('holds to the end of its last day', () => {
    now = at(6, 23, 59);
    expect(view()).toMatchObject({ validUntil: '2026-03-06', trialsLeft: 2, isExpired: false });
    now = at(7, 0, 1);
    expect(view().isExpired).toBe(true);
  });

  it('holds for its trials, voided or not, and counts down as they are stored', () => {
    const made = { conditions: { ...conditions(transducer), calibrationId: limited } };
    storeTrial(database, transducer, 'kept', { ...made, id: 'a', startedAt: at(5, 13).toISOString() });
    recordDecision(database, 'a', decision('voided'));
    inUse.changed();
    expect(view()).toMatchObject({ trialsLeft: 1, isExpired: false });
    for (const id of ['b', 'c'])
      storeTrial(database, transducer, 'kept', { ...made, id, startedAt: at(5, 14).toISOString() });
    inUse.changed();
    expect(view()).toMatchObject({ trialsLeft: 0, isExpired: true });
  });

  it('is expired from a failed check to the next pass, which holds for its day', () => {
    expect(view().check.state).toBe('none');
    check(at(5, 12), 'failed');
    expect(view()).toMatchObject({ isExpired: true, check: { state: 'failed' } });
    check(at(5, 12, 30), 'passed');
    expect(view()).toMatchObject({ isExpired: false, check: { state: 'passed' } });
    // The night changes it without anything being stored.
    now = at(6, 0, 1);
    expect(view()).toMatchObject({
      isExpired: false,
      check: { state: 'due', sentence: expect.stringContaining('2026-03-05') as string },
    });
  });

  it('has to be checked again after an overload', () => {
    check(at(5, 12), 'passed');
    const overload = { transducerId: transducer.id, calibrationId: limited, torqueNm: 1600 };
    insertOverload(database, { ...overload, at: at(5, 13).toISOString() });
    inUse.changed();
    expect(view().check.state).toBe('due');
    check(at(5, 14), 'passed');
    expect(view().check.state).toBe('passed');
  });

  it('is none where the transducer has none', () => {
    expect(inUse.checkState({ ...transducer, activeCalibrationId: null })).toMatchObject({
      state: 'noCalibration',
      lastPassedAt: null,
      suspectCount: 0,
    });
  });
});
