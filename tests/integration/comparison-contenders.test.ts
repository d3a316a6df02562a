import { describe, expect, it } from 'vitest';
import { assignCalibration } from '../../main/storage/assignment-repository.ts';
import { listBenchItems, savePack, saveSetup } from '../../main/storage/bench-item-repository.ts';
import { insertCalibration } from '../../main/storage/calibration-repository.ts';
import { insertCheck } from '../../main/storage/check-repository.ts';
import { createContenderLookup, listContenders } from '../../main/storage/contender-repository.ts';
import type { ReadableDatabase, WritableDatabase } from '../../main/storage/database.ts';
import { relabel } from '../../main/storage/relabelling-repository.ts';
import { setupAsTested } from '../../shared-lib/run-sheet/setup-as-tested.ts';
import { whyLeftOut } from '../../shared-lib/comparison/pulled-trial.ts';
import { hasLevel, listScores, scoreOf, type StoredScore } from '../../main/storage/scored-trials.ts';
import { decideSuspects } from '../../main/storage/suspicion-repository.ts';
import { recordDecision, saveEvaluation } from '../../main/storage/trial-repository.ts';
import { at, calibration, calibrationId, decision, figures } from './storage-support/bench-fixture.ts';
import { forwardStep, keyOf, setupOf } from './storage-support/compared-bench.ts';
import { markOf } from './storage-support/mark-of.ts';
import { openComparison } from './storage-support/opened-comparison.ts';

function scores(database: ReadableDatabase, filter = {}): StoredScore[] {
  return listScores(database, createContenderLookup(database), filter);
}

function merge(database: WritableDatabase, toolId: string, intoToolId: string | null): void {
  database
    .prepare('INSERT INTO tool_merge (tool_id, into_tool_id, reason, operator, at) VALUES (?, ?, ?, ?, ?)')
    .run(toolId, intoToolId, 'They are one tool.', 'Demo operator', at);
}

describe('who can be compared', () => {
  it('is everybody with measured trials that are not voided, the newest first, with steps and sessions', () => {
    const { bench, database } = openComparison();
    bench.pull({ tool: 'hollin' });
    bench.pull({ tool: 'hollin', state: 'reviewing' });
    bench.pull({ tool: 'hollin', step: { plannedS: 10 } });
    bench.session('session-day-2', '2026-04-02T08:00:00.000Z');
    bench.pull({ tool: 'hollin', session: 'session-day-2' });
    bench.pull({ tool: 'tarnwick', session: 'session-day-2', isWithoutSetup: true });
    bench.pull({ tool: 'brindlow', id: 'voided' });
    recordDecision(database, 'voided', decision('voided'));
    const { contenders, sessions } = listContenders(database);
    expect(contenders).toEqual([
      expect.objectContaining({
        key: 'name:tarnwick t6',
        label: 'Tarnwick T6',
        setup: null,
        toolId: 'tool-tarnwick',
        isSimulated: true,
      }),
      {
        key: keyOf('hollin'),
        label: 'Hollin H5',
        toolName: 'Hollin H5',
        toolId: 'tool-hollin',
        setup: expect.objectContaining({ setupId: 'setup-hollin' }) as unknown,
        isSimulated: true,
        lastTestedAt: '2026-04-02T08:01:00.000Z',
        steps: [
          { step: forwardStep, keptCount: 2, sessionIds: ['session-day-2', 'session-day-1'] },
          { step: { ...forwardStep, plannedS: 10 }, keptCount: 1, sessionIds: ['session-day-1'] },
        ],
      },
    ]);
    expect(sessions.map(({ id }) => id)).toEqual(['session-day-2', 'session-day-1']);
  });

  it('counts as simulated only as long as nothing was pulled for real', () => {
    const { bench, database } = openComparison();
    bench.session('session-real', '2026-04-03T08:00:00.000Z', true);
    bench.pull({ tool: 'hollin' });
    bench.pull({ tool: 'hollin', session: 'session-real', isReal: true });
    bench.pull({ tool: 'tarnwick' });
    expect(listContenders(database).contenders).toMatchObject([
      { label: 'Hollin H5', isSimulated: false },
      { label: 'Tarnwick T6', isSimulated: true },
    ]);
  });

  it('goes by setup and name as they are known now', () => {
    const { bench, database } = openComparison();
    bench.pull({ tool: 'hollin', id: 'mistaken' });
    relabel(database, 'mistaken', {
      toolName: 'Corvane C8',
      setup: null,
      reason: 'It was the other tool.',
      operator: 'Demo operator',
      at,
    });
    expect(scores(database).map(({ key }) => key)).toEqual(['name:corvane c8']);
    expect(listContenders(database).contenders).toMatchObject([{ label: 'Corvane C8', toolId: null }]);
  });
});

describe('a setup that trials go by', () => {
  const pack = (id: string) => ({ id, name: id, nominalV: 18, capacityAh: 5, isArchived: false });
  const socket = { name: 'Socket 24 mm', massKg: null, lengthM: null };
  const pulled = { ...setupOf('hollin'), packId: 'pack-2', setting: 'speed 1', socket };

  function openWithPull() {
    const { bench, database } = openComparison();
    for (const id of ['pack-2', 'pack-5']) savePack(database, pack(id));
    saveSetup(database, pulled);
    const pullWith = (setup: typeof pulled, id: string) =>
      bench.pull({
        tool: 'hollin',
        id,
        conditions: { setup: setupAsTested(setup, listBenchItems(database)) },
      });
    pullWith(pulled, 'first');
    return { database, pullWith };
  }

  it.each([
    ['tool', { toolId: 'tool-brindlow' }],
    ['pack', { packId: 'pack-5' }],
    ['pack, of none', { packId: null }],
    ['setting', { setting: 'speed 2' }],
    ['socket', { socket: { ...socket, name: 'Socket 27 mm' } }],
    ['pack while it is put away', { packId: 'pack-5', isArchived: true }],
  ])('does not become one of another %s', (_, change) => {
    const { database } = openWithPull();
    // It may be restored.
    recordDecision(database, 'first', decision('voided'));
    expect(() => {
      saveSetup(database, { ...pulled, ...change });
    }).toThrow(
      expect.objectContaining({
        code: 'invalid-state',
        message:
          '1 trial is of this setup, so its tool, pack, setting and socket stay as they are: its trials would count as those of another one. Nothing was stored. Add another setup for what is different; trials that were pulled otherwise are put right in the Logbook.',
      }),
    );
    expect(listBenchItems(database).setups).toContainEqual(pulled);
  });

  it('leaves its trials where they are when another one is added', () => {
    const { database, pullWith } = openWithPull();
    const other = { ...pulled, id: 'setup-other', packId: 'pack-5' };
    saveSetup(database, other);
    pullWith(other, 'second');
    expect(listContenders(database).contenders.map(({ label }) => label)).toEqual([
      'Hollin H5, pack-5, speed 1, Socket 24 mm',
      'Hollin H5, pack-2, speed 1, Socket 24 mm',
    ]);
  });

  it('can be put away and back, and more can be said of its socket', () => {
    const { database } = openWithPull();
    for (const change of [
      { isArchived: true },
      { isArchived: false },
      { setting: 'Speed 1', socket: { name: 'socket 24 mm', massKg: 0.3, lengthM: 0.05 } },
    ]) {
      saveSetup(database, { ...pulled, ...change });
      expect(listBenchItems(database).setups).toContainEqual({ ...pulled, ...change });
    }
  });

  it('may become another one once its trials were put right to what they are of', () => {
    const { database } = openWithPull();
    relabel(database, 'first', {
      toolName: 'Hollin H5',
      setup: null,
      reason: 'Nobody knows the pack.',
      operator: 'Demo operator',
      at,
    });
    saveSetup(database, { ...pulled, packId: 'pack-5' });
    expect(listContenders(database).contenders).toMatchObject([{ key: 'name:hollin h5' }]);
  });
});

describe('two entries that were found to be one tool', () => {
  it('count as one where their setups read alike, and apart once that is taken back', () => {
    const { bench, database } = openComparison();
    bench.pull({ tool: 'hollin' });
    bench.pull({ tool: 'tarnwick' });
    merge(database, 'tool-tarnwick', 'tool-hollin');
    expect(new Set(scores(database).map(({ key }) => key))).toEqual(new Set([keyOf('hollin')]));
    expect(listContenders(database).contenders).toMatchObject([
      { label: 'Hollin H5', steps: [{ keptCount: 2 }] },
    ]);
    merge(database, 'tool-tarnwick', null);
    expect(new Set(scores(database).map(({ key }) => key))).toEqual(
      new Set([keyOf('hollin'), keyOf('tarnwick')]),
    );
  });

  it('are followed over several steps, and named by the one that is left', () => {
    const { bench, database } = openComparison();
    saveSetup(database, { ...setupOf('tarnwick'), setting: 'speed 2' });
    for (const tool of ['hollin', 'tarnwick', 'brindlow'] as const) bench.pull({ tool });
    merge(database, 'tool-tarnwick', 'tool-brindlow');
    merge(database, 'tool-brindlow', 'tool-hollin');
    const { contenders } = listContenders(database);
    // Another setting is another setup.
    expect(contenders.map(({ label }) => label).toSorted()).toEqual(['Hollin H5', 'Hollin H5, speed 2']);
    expect(contenders.every(({ toolId }) => toolId === 'tool-hollin')).toBe(true);
  });

  it('stay apart within one entry: a setup that was put away and its successor', () => {
    const { bench, database } = openComparison();
    bench.pull({ tool: 'hollin' });
    saveSetup(database, { ...setupOf('hollin'), isArchived: true });
    saveSetup(database, { ...setupOf('tarnwick'), toolId: 'tool-hollin' });
    bench.pull({ tool: 'tarnwick' });
    expect(new Set(scores(database).map(({ key }) => key)).size).toBe(2);
  });
});

describe('the score of a trial', () => {
  it('follows its newest evaluation: measured by another definition, or read by another calibration', () => {
    const { bench, database } = openComparison();
    bench.pull({ tool: 'hollin', id: 'one', sustainedNm: 300 });
    const sustained = (): (number | null)[] =>
      scores(database).map((score) => scoreOf(score, { figure: 'sustainedTorque' }));
    expect(sustained()).toEqual([300]);
    saveEvaluation(database, 'one', { ...figures(310), definitionVersion: 3 }, at);
    expect(sustained()).toEqual([310]);
    expect(scores(database)[0]).toMatchObject({ calibrationId, bench: { definitionVersion: 3 } });

    insertCalibration(database, calibration({ id: 'calibration-2' }), { reason: 'A better one.' });
    const reading = { calibrationId: 'calibration-2', reason: 'A better one.', operator: '', at };
    assignCalibration(database, 'one', reading, { ...figures(320), calibrationId: 'calibration-2' });
    expect(sustained()).toEqual([320]);
    expect(scores(database)[0]?.calibrationId).toBe('calibration-2');
    expect(database.prepare('SELECT count(*) FROM trial_score').pluck().get()).toBe(1);
  });

  it('has of each measure what the figures have, and tells a level not reached from one not asked for', () => {
    const { bench, database } = openComparison();
    bench.pull({
      tool: 'hollin',
      step: { kind: 'breakaway', preloadNm: 500 },
      figures: {
        finalTorqueNm: { value: 2 },
        timeToLevel: [
          { levelNm: 50, timeS: 0.25 },
          { levelNm: 100, timeS: null },
        ],
        stallTorqueNm: { value: 7 },
        breakaway: { preloadNm: 498.5, releasedAtS: 1.5 },
        endurance: {
          firstNm: 10,
          lastNm: 8,
          fadePercent: 20,
          fadePercentPerMin: 1,
          under80PercentS: null,
          pulledS: 60,
        },
      },
    });
    bench.pull({
      tool: 'hollin',
      step: { kind: 'breakaway', preloadNm: 500 },
      figures: { breakaway: { preloadNm: 499, releasedAtS: null } },
    });
    const [released, stayed] = scores(database);
    if (released === undefined || stayed === undefined) throw new Error('There are two trials');
    const valueOf = (measure: Parameters<typeof scoreOf>[1]) => scoreOf(released, measure);
    expect(valueOf({ figure: 'sustainedTorque' })).toBe(321.5);
    expect(valueOf({ figure: 'finalTorque' })).toBe(2);
    expect(valueOf({ figure: 'torqueAt', atS: 1 })).toBe(200);
    expect(valueOf({ figure: 'torqueAt', atS: 2 })).toBeNull();
    expect(valueOf({ figure: 'timeTo90Percent' })).toBe(1.25);
    expect(valueOf({ figure: 'timeToLevel', levelNm: 50 })).toBe(0.25);
    expect(valueOf({ figure: 'timeToLevel', levelNm: 100 })).toBeNull();
    expect(valueOf({ figure: 'timeToLevel', levelNm: 60 })).toBeNull();
    expect([50, 100, 60].map((levelNm) => hasLevel(released, levelNm))).toEqual([true, true, false]);
    expect(valueOf({ figure: 'stallTorque' })).toBe(7);
    expect(valueOf({ figure: 'releasedPreload' })).toBe(498.5);
    expect(valueOf({ figure: 'lastTorque' })).toBe(8);
    expect(scoreOf(stayed, { figure: 'releasedPreload' })).toBeNull();
    expect(released.preloadNm).toBe(500);
  });

  it('is found by step, session, role and by whether it is simulated, in the order of pulling', () => {
    const { bench, database } = openComparison();
    bench.session('session-day-2', '2026-04-02T08:00:00.000Z');
    bench.session('session-real', '2026-04-03T08:00:00.000Z', true);
    bench.pull({ tool: 'hollin', id: 'real', session: 'session-real', isReal: true });
    bench.pull({ tool: 'hollin', id: 'later', session: 'session-day-2' });
    bench.pull({ tool: 'hollin', id: 'first' });
    bench.pull({ tool: 'hollin', id: 'reverse', step: { direction: 'reverse' } });
    bench.pull({ tool: 'brindlow', id: 'reference', role: 'reference', round: 0 });
    const found = (filter: object): string[] => scores(database, filter).map(({ trialId }) => trialId);
    expect(found({})).toEqual(['first', 'reverse', 'reference', 'later', 'real']);
    expect(found({ steps: [forwardStep] })).toEqual(['first', 'reference', 'later', 'real']);
    expect(found({ steps: [] })).toEqual([]);
    expect(found({ isSimulated: false })).toEqual(['real']);
    expect(found({ sessionIds: ['session-day-2'] })).toEqual(['later']);
    expect(found({ role: 'reference' })).toEqual(['reference']);
    expect(found({ steps: [forwardStep], sessionIds: ['session-day-1'], role: 'reference' })).toEqual([
      'reference',
    ]);
  });

  it('says why its trial counts nowhere', () => {
    const { bench, database } = openComparison();
    bench.pull({ tool: 'hollin', id: 'good' });
    bench.pull({ tool: 'hollin', id: 'voided' });
    recordDecision(database, 'voided', decision('voided'));
    bench.pull({ tool: 'hollin', id: 'open', state: 'reviewing', verdict: 'look' });
    bench.pull({ tool: 'hollin', id: 'warm', role: 'conditioning', round: 0 });
    bench.pull({ tool: 'hollin', id: 'reference', role: 'reference', round: 1 });
    bench.pull({ tool: 'hollin', id: 'bad', verdict: 'notUsable' });
    bench.pull({ tool: 'hollin', id: 'suspect' });
    const reasons = (gate: Parameters<typeof whyLeftOut>[1]) =>
      Object.fromEntries(scores(database).map((score) => [score.trialId, whyLeftOut(score, gate)]));
    insertCheck(database, {
      transducerId: 'transducer-demo',
      calibrationId,
      at: '2026-04-01T09:00:00.000Z',
      operator: '',
      means: { kind: 'shunt' },
      zeroCounts: 0,
      readingCounts: 4000,
      referenceNm: 1,
      readingNm: 1.1,
      errorNm: 0.1,
      limitNm: 0.05,
      verdict: 'failed',
      reasons: [],
    });
    const expected = {
      good: null,
      voided: 'voided',
      open: 'not decided yet',
      warm: 'a conditioning pull, declared as not counted',
      reference: null,
      bad: 'kept out by its quality',
      // As long as nobody has decided that it is not usable.
      suspect: null,
    };
    expect(reasons('goodOnly')).toEqual(expected);
    expect(reasons('allKept')).toEqual({ ...expected, bad: null });
    decideSuspects(
      database,
      { trialIds: ['suspect'], checkId: markOf(database, 'suspect') },
      {
        decision: 'excluded',
        reason: 'The check was far off.',
        operator: '',
        at,
      },
    );
    expect(reasons('allKept').suspect).toBe('left out after a failed daily check');

    // What a trial is read by since changes nothing of what it was made with.
    insertCalibration(database, calibration({ id: 'calibration-2' }), { reason: 'A better one.' });
    const reading = { calibrationId: 'calibration-2', reason: 'A better one.', operator: '', at };
    assignCalibration(database, 'suspect', reading, { ...figures(320), calibrationId: 'calibration-2' });
    expect(reasons('allKept').suspect).toBe('left out after a failed daily check');
  });
});
