import { describe, expect, it } from 'vitest';
import type { Subject } from '../../shared-lib/publishing/publishing-model.ts';
import { calibrationId } from './storage-support/bench-fixture.ts';
import { forwardStep, keyOf } from './storage-support/compared-bench.ts';
import { openPublishedBench } from './publishing-support/published-bench.ts';

const compared = (changes: Partial<Extract<Subject, { kind: 'comparison' }>['asked']> = {}): Subject => ({
  kind: 'comparison',
  asked: {
    step: forwardStep,
    a: keyOf('hollin'),
    b: keyOf('tarnwick'),
    sessionIds: null,
    isForced: false,
    measure: { figure: 'sustainedTorque' },
    ...changes,
  },
});

describe('what is published', () => {
  it('is, of a trial, its tool and what it held, with a picture and a report', async () => {
    const { handlers } = await openPublishedBench({
      fill(bench) {
        bench.pull({ tool: 'hollin', id: 'kept', sustainedNm: 321.5 });
      },
    });
    expect(await handlers.describeSubject({ subject: { kind: 'trial', trialId: 'kept' } })).toEqual({
      title: 'Hollin H5',
      sentence:
        'Tighten forward 5\u202fs on 2026-04-01, held 321.5\u202fN·m (237.1\u202fft·lbf) for 0.25\u202fs.',
      trialIds: ['kept'],
      isSimulated: true,
      charts: ['curves'],
      hasReport: true,
    });
  });

  it('has neither picture nor report nor figure of a trial that nobody has decided on', async () => {
    const { handlers } = await openPublishedBench({
      fill(bench) {
        bench.pull({ tool: 'hollin', id: 'open', sustainedNm: 321.5, state: 'reviewing' });
      },
    });
    const described = await handlers.describeSubject({ subject: { kind: 'trial', trialId: 'open' } });
    expect(described).toMatchObject({ charts: [], hasReport: false });
    expect(described.sentence).not.toContain('321');
    await expect(
      (async () =>
        handlers.startPublishing({
          order: {
            makes: 'report',
            form: 'pdf',
            torqueUnit: 'Nm',
            subject: { kind: 'trial', trialId: 'open' },
          },
        }))(),
    ).rejects.toMatchObject({ code: 'subject-not-found' });
  });

  it('takes in, of a comparison, the trials that do not count, and says why two cannot be compared', async () => {
    const { handlers } = await openPublishedBench({
      fill(bench) {
        bench.sheet('sheet-1', 2);
        for (const round of [1, 2]) {
          bench.pull({ tool: 'hollin', id: `h${round}`, sustainedNm: 330 + round, round });
          bench.pull({ tool: 'tarnwick', id: `t${round}`, sustainedNm: 300 + round, round });
        }
        bench.pull({ tool: 'hollin', id: 'conditioning', sustainedNm: 280, role: 'conditioning', round: 0 });
      },
    });
    const described = await handlers.describeSubject({ subject: compared() });
    expect(described).toMatchObject({
      title: 'Hollin H5 against Tarnwick T6',
      isSimulated: true,
      charts: ['curves', 'means'],
      hasReport: true,
    });
    expect(described.trialIds.toSorted()).toEqual(['conditioning', 'h1', 'h2', 't1', 't2']);
    expect(described.sentence).toContain('Hollin H5');

    const apart = await handlers.describeSubject({
      subject: compared({ measure: { figure: 'stallTorque' } }),
    });
    expect(apart).toMatchObject({ charts: [], hasReport: false, trialIds: [] });
    expect(apart.sentence).toContain('Only a stall has a stall torque');
    await expect(
      (async () => handlers.describeSubject({ subject: compared({ a: 'name:nobody' }) }))(),
    ).rejects.toMatchObject({ code: 'contender-not-found' });
  });

  it('is, of a session, all that was pulled in it, and nothing of another', async () => {
    const { handlers } = await openPublishedBench({
      fill(bench) {
        bench.pull({ tool: 'hollin', id: 'first' });
        bench.pull({ tool: 'hollin', id: 'cut', state: 'interrupted' });
        bench.session('session-day-2', '2026-04-02T08:00:00.000Z');
        bench.pull({ tool: 'tarnwick', id: 'other', session: 'session-day-2' });
      },
    });
    expect(
      await handlers.describeSubject({ subject: { kind: 'session', sessionId: 'session-day-1' } }),
    ).toMatchObject({
      title: 'Session of 2026-04-01',
      sentence: '1 trial kept, 1 interrupted; pulled by Demo operator on Demo transducer.',
      trialIds: ['first', 'cut'],
      isSimulated: true,
      charts: ['curves', 'means'],
      hasReport: true,
    });
    await expect(
      (async () => handlers.describeSubject({ subject: { kind: 'session', sessionId: 'none' } }))(),
    ).rejects.toMatchObject({ code: 'session-not-found' });
  });

  it('is, of a calibration, the trials that it reads', async () => {
    const { handlers } = await openPublishedBench({
      fill(bench) {
        bench.pull({ tool: 'hollin', id: 'simulated' });
        bench.session('session-real', '2026-04-03T08:00:00.000Z', true);
        bench.pull({ tool: 'hollin', id: 'real', isReal: true, session: 'session-real' });
      },
    });
    expect(await handlers.describeSubject({ subject: { kind: 'calibration', calibrationId } })).toMatchObject(
      {
        title: 'Calibration Demo calibration',
        trialIds: ['simulated'],
        isSimulated: true,
        // Entered by hand: no readings to draw.
        charts: [],
        hasReport: true,
      },
    );
    expect(
      await handlers.describeSubject({ subject: { kind: 'calibration', calibrationId: 'calibration-real' } }),
    ).toMatchObject({ trialIds: ['real'], isSimulated: false });
    expect(await handlers.describeSubject({ subject: { kind: 'everything' } })).toMatchObject({
      sentence: '2 trials, whatever became of them.',
      trialIds: ['simulated', 'real'],
      charts: [],
      hasReport: false,
    });
  });

  it('keeps, of an edition, the trials of that day, while the table goes on', async () => {
    const { handlers } = await openPublishedBench({
      fill(bench) {
        for (const tool of ['hollin', 'tarnwick'] as const) {
          for (const sustainedNm of [300, 302, 305]) bench.pull({ tool, sustainedNm });
        }
      },
    });
    const { schemes } = await handlers.listSchemes({});
    const [scheme] = schemes;
    if (scheme === undefined) throw new Error('There is no ready-made scheme');
    const tableId = 'table-1';
    await handlers.saveStandingsTable({
      table: {
        id: tableId,
        name: 'Demo table',
        schemeId: scheme.schemeId,
        toolClasses: [],
        driveSizes: [],
        supplies: [],
        isSimulated: true,
        gate: 'goodAndLook',
        currency: 'EUR',
        isArchived: false,
      },
    });
    const { id: editionId } = await handlers.makeEdition({ tableId, name: 'Spring', note: '' });
    const table = await handlers.describeSubject({ subject: { kind: 'standings', tableId } });
    const edition = await handlers.describeSubject({ subject: { kind: 'edition', editionId } });
    expect(table).toMatchObject({ title: 'Demo table', isSimulated: true, hasReport: true });
    expect(edition.title).toBe('Demo table, Spring');
    expect(edition.trialIds).toEqual(table.trialIds);
    expect(edition.trialIds).toHaveLength(6);
    await expect(
      (async () => handlers.describeSubject({ subject: { kind: 'edition', editionId: 'none' } }))(),
    ).rejects.toMatchObject({ code: 'edition-not-found' });
  });
});
