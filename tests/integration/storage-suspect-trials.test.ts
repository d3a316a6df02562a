import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { CheckMeans, DailyCheck } from '../../shared-lib/calibration/daily-check-model.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';
import { insertCalibration } from '../../main/storage/calibration-repository.ts';
import { calibrationDoubts, countTrialsMadeWith } from '../../main/storage/calibration-use.ts';
import { insertCheck, insertOverload, readCheckStanding } from '../../main/storage/check-repository.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import {
  decideSuspects,
  listOpenFailures,
  listSuspectMarks,
  listSuspectTrialIds,
} from '../../main/storage/suspicion-repository.ts';
import { listTrials } from '../../main/storage/trial-list.ts';
import { getTrial, recordDecision } from '../../main/storage/trial-repository.ts';
import {
  calibration,
  calibrationId,
  conditions,
  decision,
  open,
  seedBench,
  storeTrial,
} from './storage-support/bench-fixture.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';
import { markOf } from './storage-support/mark-of.ts';

let database: WritableDatabase;
let transducer: Transducer;

beforeEach(() => {
  database = open(temporaryFolder());
  transducer = seedBench(database);
});
afterEach(() => {
  database.close();
});

/** Instants in the order of their numbers. */
const at = (minute: number): string => new Date(Date.UTC(2026, 2, 5) + minute * 60_000).toISOString();

const weight = (sense: 'forward' | 'reverse'): CheckMeans => ({
  kind: 'weight',
  sense,
  weights: [
    {
      id: 'weight-1',
      name: '10 kg (demo)',
      massKg: 10,
      densityKgM3: 7950,
      tolerance: { kind: 'class', weightClass: 'M1' },
      certificate: '',
      certificateValidUntil: null,
    },
  ],
  arm: {
    id: 'arm-1',
    name: 'Bar (demo)',
    lengthM: 1,
    lengthUncertaintyM: { kind: 'limit', limit: 0.0005 },
    angleDeg: 0,
    angleLimitDeg: 1,
    own: null,
  },
  site: {
    id: 'site-1',
    name: 'Hall (demo)',
    gravity: { source: 'entered', gravityMps2: 9.81 },
    gravityUncertaintyMps2: null,
    air: { source: 'standard' },
  },
});
const shunt: CheckMeans = { kind: 'shunt' };

function check(
  minute: number,
  verdict: DailyCheck['verdict'],
  means: CheckMeans = weight('forward'),
  of = calibrationId,
): DailyCheck {
  return insertCheck(database, {
    transducerId: transducer.id,
    calibrationId: of,
    at: at(minute),
    operator: 'Demo operator',
    means,
    zeroCounts: 0,
    readingCounts: 1,
    referenceNm: 98,
    readingNm: 98.5,
    errorNm: 0.5,
    limitNm: 0.4,
    verdict,
    reasons: [],
  });
}

function trial(minute: number, changes: Parameters<typeof storeTrial>[3] = {}): string {
  return storeTrial(database, transducer, 'kept', {
    id: `trial-${minute}`,
    startedAt: at(minute),
    ...changes,
  });
}

const suspects = (): string[] => listSuspectTrialIds(database, transducer.id);
const suspicionOf = (id: string) => getTrial(database, id).summary.suspicion;
const decide = (
  trialIds: string[],
  what: 'usable' | 'excluded',
  reason = 'Looked into it.',
  checkId = markOf(database, trialIds[0] ?? ''),
) => {
  const by = { operator: 'Demo operator', at: at(900) };
  decideSuspects(database, { trialIds, checkId }, { decision: what, reason, ...by });
};

describe('failed checks that wait', () => {
  const failures = () => listOpenFailures(database, { transducerId: transducer.id, calibrationId });

  it('are told apart where a pass lies between them, each with its own trials', () => {
    const first = trial(1);
    const failedFirst = check(2, 'failed');
    check(3, 'passed');
    const second = [trial(4), trial(5)];
    const failedSecond = check(6, 'failed');
    check(7, 'passed');
    expect(failures()).toEqual([
      { checkId: failedSecond.id, failedAt: failedSecond.at, trialIds: second.toReversed() },
      { checkId: failedFirst.id, failedAt: failedFirst.at, trialIds: [first] },
    ]);
    decide(second, 'usable');
    expect(failures().map(({ checkId }) => checkId)).toEqual([failedFirst.id]);
    decide([first], 'usable');
    expect(failures()).toEqual([]);
  });

  it('are one where no pass lies between them, the newest, until a pass follows', () => {
    const doubted = trial(1);
    check(2, 'failed');
    const newest = check(3, 'failed');
    expect(failures()).toEqual([{ checkId: newest.id, failedAt: newest.at, trialIds: [doubted] }]);
    decide([doubted], 'excluded');
    expect(failures()).toEqual([{ checkId: newest.id, failedAt: newest.at, trialIds: [] }]);
    check(4, 'passed');
    expect(failures()).toEqual([]);
  });
});

describe('a failed check', () => {
  it('marks exactly the trials from the last pass to the next one', () => {
    const before = trial(1);
    check(2, 'passed');
    const after = [trial(3), trial(4)];
    const failed = check(5, 'failed');
    const sinceFailure = trial(6);
    expect(suspects()).toEqual([sinceFailure, ...after.toReversed()]);
    check(7, 'passed');
    const later = trial(8);

    expect(suspects()).toEqual([sinceFailure, ...after.toReversed()]);
    expect(suspicionOf(before)).toBeNull();
    expect(suspicionOf(later)).toBeNull();
    expect(suspicionOf(sinceFailure)).toEqual({
      checkId: failed.id,
      failedAt: failed.at,
      decision: null,
      reason: null,
    });
  });

  it('reaches back to the calibration where none has passed before, and no further', () => {
    const old = trial(1);
    insertCalibration(database, calibration({ id: 'calibration-2', createdAt: at(2) }), {
      reason: 'New arm.',
    });
    const made = { conditions: { ...conditions(transducer), calibrationId: 'calibration-2' } };
    const recent = trial(3, made);
    check(4, 'failed', weight('forward'), 'calibration-2');
    expect(suspects()).toEqual([recent]);
    expect(suspicionOf(old)).toBeNull();
  });

  it('is not ended by a pass that could not have shown it', () => {
    check(1, 'passed');
    const first = trial(2);
    check(3, 'failed', weight('reverse'));
    // Neither the other sense nor the shunt, which knows nothing of the transducer's arm and sense.
    check(4, 'passed', weight('forward'));
    check(5, 'reference', shunt);
    check(6, 'passed', shunt);
    const second = trial(7);
    expect(suspects()).toEqual([second, first]);
    expect(readCheckStanding(database, calibrationId).openFailureAt).toBe(at(3));
    check(8, 'passed', weight('reverse'));
    trial(9);
    expect(suspects()).toEqual([second, first]);
    expect(readCheckStanding(database, calibrationId).openFailureAt).toBeNull();
  });

  it('of the shunt is ended by any pass', () => {
    const first = trial(1);
    check(2, 'failed', shunt);
    check(3, 'passed', weight('forward'));
    trial(4);
    expect(suspects()).toEqual([first]);
  });

  it('says nothing of a reference reading', () => {
    trial(1);
    check(2, 'reference', shunt);
    expect(suspects()).toEqual([]);
  });
});

describe('what the operator decides about a suspect trial', () => {
  it('is kept with its reason, and what is decided waits no longer', () => {
    const [usable, excluded, open_] = [trial(1), trial(2), trial(3)];
    const failed = check(4, 'failed');
    decide([usable], 'usable', 'The check weight hung askew.');
    decide([excluded], 'excluded');
    expect(suspects()).toEqual([open_]);
    expect(suspicionOf(usable)).toEqual({
      checkId: failed.id,
      failedAt: failed.at,
      decision: 'usable',
      reason: 'The check weight hung askew.',
    });
    const ids = (state: 'suspect' | 'excluded'): string[] =>
      listTrials(database, { search: '', state, offset: 0, limit: 10 }).trials.map(({ id }) => id);
    expect(ids('suspect')).toEqual([open_]);
    expect(ids('excluded')).toEqual([excluded]);
    // A pass changes nothing about it.
    check(5, 'passed');
    expect(suspicionOf(excluded)?.decision).toBe('excluded');
    // Another decision is another row.
    decide([excluded], 'usable', 'Recomputed with the repaired arm.');
    expect(suspicionOf(excluded)?.decision).toBe('usable');
    expect(database.prepare('SELECT count(*) FROM suspicion_decision').pluck().get()).toBe(3);
  });

  it('is asked for again by a later failure where the trial was to stay, not where it was left out', () => {
    const [usable, excluded] = [trial(1), trial(2)];
    check(3, 'failed');
    decide([usable], 'usable');
    decide([excluded], 'excluded');
    const again = check(4, 'failed');
    expect(suspicionOf(usable)).toMatchObject({ checkId: again.id, decision: null, reason: null });
    expect(suspicionOf(excluded)).toMatchObject({ checkId: again.id, decision: 'excluded' });
    decide([excluded], 'usable');
    const third = check(5, 'failed');
    expect(suspicionOf(excluded)).toMatchObject({ checkId: third.id, decision: null });
  });

  it('is about the check that marks a trial by then: a later failure takes over every mark, whatever became of the trial', () => {
    const ids = [trial(1), trial(2), trial(3), trial(4)] as const;
    const marks = () => [...listSuspectMarks(database, transducer.id)].sort();
    const under = ({ id }: DailyCheck) => ids.map((trialId) => [trialId, id]);
    expect(marks()).toEqual([]);
    const first = check(5, 'failed');
    decide([ids[1]], 'usable');
    decide([ids[2]], 'excluded');
    recordDecision(database, ids[3], decision('voided'));
    expect(marks()).toEqual(under(first));
    const second = check(6, 'failed');
    expect(marks()).toEqual(under(second));
    expect(listSuspectMarks(database, 'another transducer').size).toBe(0);
  });

  it('is refused whole where one of the trials is not suspect', () => {
    check(1, 'passed');
    const sound = trial(2);
    check(3, 'passed');
    const suspect = trial(4);
    check(5, 'failed');
    expect(() => {
      decide([suspect, sound], 'usable');
    }).toThrow(expect.objectContaining({ code: 'invalid-state' }));
    expect(suspects()).toEqual([suspect]);
  });

  it('is refused whole where another check failed over one of the trials since the one that was looked at', () => {
    const under = trial(1);
    const seen = check(2, 'failed');
    const since = trial(3);
    decide([under], 'excluded', 'The bar had slipped.', seen.id);
    expect(suspicionOf(under)?.decision).toBe('excluded');
    const later = check(4, 'failed', weight('forward'));
    expect(() => {
      decide([under, since], 'usable', 'The check weight hung askew.', seen.id);
    }).toThrow(
      expect.objectContaining({
        code: 'invalid-state',
        message: expect.stringMatching(
          /Another check.*Nothing was stored.*Look at the list again/s,
        ) as string,
      }),
    );
    expect(suspicionOf(under)).toMatchObject({ checkId: later.id, decision: 'excluded' });
    expect(suspicionOf(since)).toMatchObject({ checkId: later.id, decision: null });
    decide([under, since], 'usable', 'The check weight hung askew.', later.id);
    expect(suspicionOf(since)).toMatchObject({ checkId: later.id, decision: 'usable' });
  });

  it('is not waited for about a voided trial, until that is taken back', () => {
    const id = trial(1);
    check(2, 'failed');
    recordDecision(database, id, decision('voided'));
    expect(suspects()).toEqual([]);
    recordDecision(database, id, decision('restored'));
    expect(suspects()).toEqual([id]);
  });

  it('and checks, overloads and assignments are never edited or deleted', () => {
    trial(1);
    check(2, 'failed');
    decide(['trial-1'], 'usable');
    insertOverload(database, { transducerId: transducer.id, calibrationId, at: at(3), torqueNm: 2000 });
    database
      .prepare(
        'INSERT INTO calibration_assignment (trial_id, calibration_id, reason, operator, at) VALUES (?, ?, ?, ?, ?)',
      )
      .run('trial-1', calibrationId, 'In a test.', '', at(4));
    for (const table of ['daily_check', 'suspicion_decision', 'overload', 'calibration_assignment']) {
      expect(() => database.exec(`UPDATE ${table} SET at = ''`)).toThrow('only grows');
      expect(() => database.exec(`DELETE FROM ${table}`)).toThrow('only grows');
    }
  });
});

describe('how long a calibration holds', () => {
  const limited = calibration({ validUntil: '2026-03-05', validForTrials: 2 });

  it('ends with its last day and with its last trial, for the trials after them', () => {
    const noon = new Date(2026, 2, 5, 12).toISOString();
    const nextMorning = new Date(2026, 2, 6, 0, 1).toISOString();
    expect(calibrationDoubts(database, limited, noon)).toEqual([]);
    expect(calibrationDoubts(database, limited, nextMorning)).toEqual([
      'The calibration held up to and including 2026-03-05; the trial was made on 2026-03-06.',
    ]);
    for (const minute of [1, 2, 3]) trial(minute);
    const byTrials = { ...limited, validUntil: null };
    expect(calibrationDoubts(database, byTrials, at(2))).toEqual([]);
    expect(calibrationDoubts(database, byTrials, at(3))).toEqual([
      'The calibration held for 2 trials; 2 had been made with it before.',
    ]);
    expect(countTrialsMadeWith(database, calibrationId)).toBe(3);
  });

  it('is interrupted by a failed check until one passes, and what was judged before stays judged so', () => {
    const endless = calibration();
    check(2, 'failed');
    expect(calibrationDoubts(database, endless, at(1))).toEqual([]);
    expect(calibrationDoubts(database, endless, at(3))).toEqual([
      'The last check of the bench before it had failed, and none had passed since.',
    ]);
    check(4, 'passed');
    expect(calibrationDoubts(database, endless, at(3))).toHaveLength(1);
    expect(calibrationDoubts(database, endless, at(5))).toEqual([]);
  });
});
