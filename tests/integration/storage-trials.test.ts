import { describe, expect, it } from 'vitest';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { beginTrial } from '../../main/storage/recording-repository.ts';
import { countSessionTrials } from '../../main/storage/session-repository.ts';
import { listTrials } from '../../main/storage/trial-list.ts';
import {
  getTrial,
  listInterruptedUndecided,
  newestFigures,
  recordDecision,
  saveEvaluation,
} from '../../main/storage/trial-repository.ts';
import type { RequestParams } from '../../shared-lib/api-contract.ts';
import type { Transducer, TrialDecision } from '../../shared-lib/trial/trial-model.ts';
import {
  at,
  decision,
  figures,
  newTrial,
  open,
  seedBench,
  sessionId,
  storeTrial,
} from './storage-support/bench-fixture.ts';
import { plansOf } from './storage-support/query-plans.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

function openBench(): { database: WritableDatabase; transducer: Transducer } {
  const database = open(temporaryFolder());
  return { database, transducer: seedBench(database) };
}

const everything: RequestParams<'listTrials'> = { search: '', state: null, offset: 0, limit: 100 };
const coded = (code: string): unknown => expect.objectContaining({ code });
const named = (toolName: string) => ({ ...newTrial({} as Transducer).step, toolName });

type EndState = Parameters<typeof storeTrial>[2];
type Standing =
  'kept' | 'reviewing' | 'interrupted' | 'voided after keeping' | 'voided in review' | 'recording';

function storeStanding(database: WritableDatabase, transducer: Transducer, standing: Standing): void {
  if (standing === 'recording') {
    beginTrial(database, newTrial(transducer), []);
    return;
  }
  const state: EndState =
    standing === 'voided after keeping' ? 'kept' : standing === 'voided in review' ? 'reviewing' : standing;
  storeTrial(database, transducer, state);
  if (standing.startsWith('voided')) recordDecision(database, 'trial-1', decision('voided'));
}

describe('deciding about a trial', () => {
  const outcomes: readonly [Standing, TrialDecision['decision'], string][] = [
    ['reviewing', 'kept', 'kept'],
    ['reviewing', 'voided', 'reviewing, voided'],
    ['reviewing', 'restored', 'invalid-state'],
    ['reviewing', 'interrupted', 'invalid-state'],
    ['interrupted', 'kept', 'kept'],
    ['interrupted', 'voided', 'interrupted, voided'],
    ['interrupted', 'restored', 'invalid-state'],
    ['interrupted', 'interrupted', 'invalid-state'],
    ['kept', 'kept', 'invalid-state'],
    ['kept', 'voided', 'kept, voided'],
    ['kept', 'restored', 'invalid-state'],
    ['kept', 'interrupted', 'invalid-state'],
    ['voided after keeping', 'kept', 'invalid-state'],
    ['voided after keeping', 'voided', 'invalid-state'],
    ['voided after keeping', 'restored', 'kept'],
    ['voided after keeping', 'interrupted', 'invalid-state'],
    ['voided in review', 'kept', 'invalid-state'],
    ['voided in review', 'voided', 'invalid-state'],
    ['voided in review', 'restored', 'reviewing'],
    ['voided in review', 'interrupted', 'invalid-state'],
    ['recording', 'kept', 'trial-not-finished'],
    ['recording', 'voided', 'trial-not-finished'],
    ['recording', 'restored', 'trial-not-finished'],
    ['recording', 'interrupted', 'trial-not-finished'],
  ];

  it.each(outcomes)('%s, then %s: %s', (standing, next, outcome) => {
    const { database, transducer } = openBench();
    storeStanding(database, transducer, standing);
    const before = getTrial(database, 'trial-1');
    const decide = (): void => recordDecision(database, 'trial-1', decision(next, { figuresShown: true }));
    if (outcome.includes('-')) {
      expect(decide).toThrow(coded(outcome));
      expect(getTrial(database, 'trial-1')).toEqual(before);
    } else {
      decide();
      const { summary, decisions } = getTrial(database, 'trial-1');
      expect(`${summary.state}${summary.isVoided ? ', voided' : ''}`).toBe(outcome);
      expect(decisions).toEqual([...before.decisions, decision(next, { figuresShown: true })]);
    }
    database.close();
  });

  it('is not possible about a trial that is not there', () => {
    const { database } = openBench();
    expect(() => recordDecision(database, 'nobody', decision('kept'))).toThrow(coded('trial-not-found'));
    expect(() => getTrial(database, 'nobody')).toThrow(coded('trial-not-found'));
    database.close();
  });

  it('keeps why an interrupted trial was cut short when it is kept', () => {
    const { database, transducer } = openBench();
    storeTrial(database, transducer, 'interrupted');
    recordDecision(database, 'trial-1', decision('kept'));
    expect(getTrial(database, 'trial-1')).toMatchObject({
      summary: { state: 'kept' },
      interruption: 'operator',
    });
    database.close();
  });

  it('takes an interrupted trial off the list of those that wait, and puts it back with a restored void', () => {
    const { database, transducer } = openBench();
    storeTrial(database, transducer, 'interrupted');
    storeTrial(database, transducer, 'interrupted', { id: 'trial-2' });
    recordDecision(database, 'trial-1', decision('voided'));
    expect(listInterruptedUndecided(database)).toEqual(['trial-2']);
    recordDecision(database, 'trial-1', decision('restored'));
    recordDecision(database, 'trial-2', decision('kept'));
    expect(listInterruptedUndecided(database)).toEqual(['trial-1']);
    database.close();
  });
});

describe('figures before a trial is kept', () => {
  it.each<[Standing, boolean]>([
    ['reviewing', false],
    ['interrupted', false],
    ['voided in review', false],
    ['kept', true],
    ['voided after keeping', true],
  ])('%s: shown is %s', (standing, isShown) => {
    const { database, transducer } = openBench();
    storeStanding(database, transducer, standing);
    const { figures: shown, summary } = getTrial(database, 'trial-1');
    expect(shown).toEqual(isShown ? figures() : null);
    expect(summary.sustainedTorqueNm).toBe(isShown ? 321.5 : null);
    expect(summary.qualityVerdict).toBe('good');
    expect(listTrials(database, everything).trials).toEqual([summary]);
    expect(newestFigures(database, 'trial-1')).toEqual(figures());
    database.close();
  });
});

describe('an evaluation', () => {
  it('comes on top of those before it', () => {
    const { database, transducer } = openBench();
    storeTrial(database, transducer, 'kept');
    saveEvaluation(database, 'trial-1', figures(300), at);
    expect(getTrial(database, 'trial-1').figures).toEqual(figures(300));
    expect(listTrials(database, everything).trials[0]?.sustainedTorqueNm).toBe(300);
    expect(database.prepare('SELECT count(*) FROM trial_evaluation').pluck().get()).toBe(2);
    database.close();
  });

  it('may say that the curve carries no sustained torque', () => {
    const { database, transducer } = openBench();
    storeTrial(database, transducer, 'kept');
    saveEvaluation(database, 'trial-1', { ...figures(), sustainedTorqueNm: { refused: 'Too slow.' } }, at);
    expect(getTrial(database, 'trial-1').summary.sustainedTorqueNm).toBeNull();
    database.close();
  });

  it('that is not what the program writes is named, and nothing else is lost', () => {
    const { database, transducer } = openBench();
    storeTrial(database, transducer, 'kept');
    storeTrial(database, transducer, 'kept', { id: 'trial-2' });
    database
      .prepare(
        `INSERT INTO trial_evaluation (trial_id, definition_version, calibration_id, figures_json, at)
         SELECT trial_id, 1, calibration_id, '{"sustainedTorqueNm": 7}', at FROM trial_evaluation WHERE trial_id = 'trial-1'`,
      )
      .run();
    expect(() => getTrial(database, 'trial-1')).toThrow(coded('database-damaged'));
    expect(getTrial(database, 'trial-2').figures).toEqual(figures());
    database.close();
  });
});

describe('the list of trials', () => {
  /** Five trials, a minute apart, of three tools. */
  function openLogbook(): WritableDatabase {
    const { database, transducer } = openBench();
    const startedAt = (minute: number): string => `2026-03-04T05:0${minute}:00.000Z`;
    storeTrial(database, transducer, 'kept', { id: 'a', startedAt: startedAt(1), step: named('Hollin H5') });
    storeTrial(database, transducer, 'kept', {
      id: 'b',
      startedAt: startedAt(2),
      step: named('Tarnwick T6'),
    });
    storeTrial(database, transducer, 'reviewing', {
      id: 'c',
      startedAt: startedAt(3),
      step: named('Größe 100%'),
    });
    storeTrial(database, transducer, 'interrupted', {
      id: 'd',
      startedAt: startedAt(4),
      step: named('hollin h5'),
    });
    storeTrial(database, transducer, 'kept', {
      id: 'e',
      startedAt: startedAt(5),
      step: named('Tarnwick T6'),
    });
    recordDecision(database, 'e', decision('voided'));
    return database;
  }

  const idsOf = (database: WritableDatabase, request: Partial<RequestParams<'listTrials'>>): string =>
    listTrials(database, { ...everything, ...request })
      .trials.map(({ id }) => id)
      .join('');

  it('shows the newest first, a page at a time, and counts them all', () => {
    const database = openLogbook();
    expect(idsOf(database, {})).toBe('edcba');
    expect(idsOf(database, { offset: 1, limit: 2 })).toBe('dc');
    expect(listTrials(database, { ...everything, offset: 4, limit: 2 })).toMatchObject({ total: 5 });
    expect(idsOf(database, { offset: 9 })).toBe('');
    database.close();
  });

  it.each([
    ['HOLLIN', 'da'],
    ['  t6 ', 'eb'],
    ['GRÖSSE', ''],
    ['größe', 'c'],
    // The same letters with the diaeresis as a sign of its own.
    ['gro\u0308ße', 'c'],
    ['100%', 'c'],
    ['%', 'c'],
    ['_', ''],
    ["'", ''],
  ])('finds tools by a part of their name: %s', (search, ids) => {
    const database = openLogbook();
    expect(idsOf(database, { search })).toBe(ids);
    expect(listTrials(database, { ...everything, search }).total).toBe(ids.length);
    database.close();
  });

  it.each([
    ['kept', 'ba'],
    ['voided', 'e'],
    ['reviewing', 'c'],
    ['interrupted', 'd'],
    ['recording', ''],
  ] as const)('filters by state: %s', (state, ids) => {
    const database = openLogbook();
    expect(idsOf(database, { state })).toBe(ids);
    expect(listTrials(database, { ...everything, state }).total).toBe(ids.length);
    database.close();
  });

  it('counts what a session has kept and voided', () => {
    const database = openLogbook();
    expect(countSessionTrials(database, sessionId)).toEqual({ keptCount: 2, voidedCount: 1 });
    expect(countSessionTrials(database, 'another')).toEqual({ keptCount: 0, voidedCount: 0 });
    database.close();
  });

  it.each<Partial<RequestParams<'listTrials'>>>([
    {},
    { search: 'h5 cold' },
    { state: 'kept' },
    { search: 'h5', state: 'voided', sort: 'oldest' },
    { kind: 'tighten', direction: 'forward', verdict: 'good', role: 'counted' },
  ])('is read from its index, in order and without the wide rows of other pages: %o', (request) => {
    const { database } = openBench();
    const plans = plansOf(database, (watched) => listTrials(watched, { ...everything, ...request }));
    const [counting, page, rows, ...suspicions] = plans;
    expect(counting).toEqual([expect.stringMatching(/^SCAN trial USING COVERING INDEX/)]);
    expect(page).toEqual(['SCAN trial USING COVERING INDEX trial_by_start']);
    expect(rows?.[0]).toMatch(/^SEARCH trial USING INDEX sqlite_autoindex/);
    expect(plans.flat().join()).not.toContain('TEMP B-TREE');
    // Failed checks are looked up by calibration, and a trial's own mark by its id.
    expect(suspicions.flat().join()).toContain('INDEX daily_check_failed');
    for (const detail of suspicions.flat()) expect(detail).not.toMatch(/^SCAN (?!mark)/);
    database.close();
  });
});
