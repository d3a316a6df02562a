import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import {
  armFedBench,
  confirmFedSense,
  COUNTS_PER_NM,
  FED_CAPACITY_NM,
  startFedBench,
  type FedBench,
} from '../helpers/bench-with-fed-reader.ts';
import { brindlowSetup, hollin, hollinSetup, putInItems } from '../helpers/run-sheet-fixture.ts';

let bench: FedBench;

beforeEach(async () => {
  bench = await startFedBench();
  await confirmFedSense(bench);
});
afterEach(() => bench.close());

/** A run of one second at 200 N m, zero before and after. */
async function pull(): Promise<string> {
  await armFedBench(bench);
  bench.feed(200, 2.2);
  bench.feed(0, 3);
  return (await bench.untilPhase('kept')).trialId;
}

/** Cut short after half a second: interrupted, and not kept. */
async function pullAndStop(): Promise<string> {
  await armFedBench(bench);
  bench.feed(200, 0.5);
  const { trialId } = bench.trial('run');
  await bench.handlers.stopTrial({});
  bench.feed(0, 3);
  await bench.untilPhase('interrupted');
  return trialId;
}

const trial = async (trialId: string): Promise<TrialRecord> => bench.handlers.getTrial({ trialId });
const reason = 'The tools were mixed up.';
const asItIs = { calibrationId: null, onsetLevelNm: null, windowS: null };
const list = async (search: string) =>
  bench.handlers.listTrials({ search, state: null, offset: 0, limit: 10 });

describe('note and tags of a trial', () => {
  it('are stored by whom and when, stand in the list, and keep what stood there before', async () => {
    const trialId = await pull();
    await bench.handlers.updateSettings({ operator: 'Demo operator' });
    await bench.handlers.annotateTrial({ trialId, note: 'The socket squeaked.', tags: ['cold', 'Cold'] });
    await bench.handlers.annotateTrial({ trialId, note: 'The socket was dry.', tags: ['warm'] });
    const { annotations, summary } = await trial(trialId);
    expect(annotations).toMatchObject([
      { note: 'The socket squeaked.', tags: ['cold'], operator: 'Demo operator' },
      { note: 'The socket was dry.', tags: ['warm'], operator: 'Demo operator' },
    ]);
    expect(summary).toMatchObject({ hasNote: true, tags: ['warm'] });
    expect(await list('dry')).toMatchObject({ total: 1 });
    expect(await list('squeaked')).toMatchObject({ total: 0 });
    expect(await bench.handlers.listTags({})).toEqual({ tags: [{ tag: 'warm', count: 1 }] });
  });

  it('that are no others than before are not written again', async () => {
    const trialId = await pull();
    await bench.handlers.annotateTrial({ trialId, note: '', tags: [] });
    expect((await trial(trialId)).annotations).toEqual([]);
  });

  it('need a trial', () => {
    expect(() => bench.handlers.annotateTrial({ trialId: 'nobody', note: 'x', tags: [] })).toThrow(
      expect.objectContaining({ code: 'trial-not-found' }),
    );
  });

  it('are never edited in the database', async () => {
    const trialId = await pull();
    await bench.handlers.annotateTrial({ trialId, note: 'As it was.', tags: [] });
    for (const statement of ["UPDATE trial_annotation SET note = ''", 'DELETE FROM trial_annotation']) {
      expect(() => bench.database.prepare(statement).run()).toThrow('only grows');
    }
  });
});

describe('a trial under a wrong name', () => {
  it('gets tool and setup put right, with reason and who, and keeps what it was made with', async () => {
    await putInItems(bench.handlers);
    const trialId = await pull();
    const before = await trial(trialId);
    await bench.handlers.relabelTrial({ trialId, toolName: hollin.name, setupId: hollinSetup.id, reason });
    const after = await trial(trialId);
    expect(after.summary).toMatchObject({
      step: { toolName: hollin.name },
      setup: { setupId: hollinSetup.id, packName: 'Pack 1' },
    });
    expect(after.relabellings).toMatchObject([
      { toolName: hollin.name, setup: { setupId: hollinSetup.id }, reason, operator: '' },
    ]);
    expect(after.conditions).toEqual(before.conditions);
    expect(after.figures).toEqual(before.figures);
    expect(await list('pack demo')).toMatchObject({ total: 1 });
    const bySetup = await bench.handlers.listTrials({
      search: '',
      state: null,
      setupId: hollinSetup.id,
      offset: 0,
      limit: 10,
    });
    expect(bySetup.total).toBe(1);

    // A setup says of which tool it is: with a name alone it goes.
    await bench.handlers.relabelTrial({ trialId, toolName: 'Corvane C8', setupId: null, reason });
    expect((await trial(trialId)).summary).toMatchObject({ step: { toolName: 'Corvane C8' }, setup: null });
    expect((await trial(trialId)).relabellings).toHaveLength(2);
    expect(() => bench.database.prepare("UPDATE relabelling SET reason = 'none'").run()).toThrow(
      'only grows',
    );
  });

  it('keeps its name and loses the setup where only the tool is known, in one step', async () => {
    await putInItems(bench.handlers);
    const trialId = await pull();
    await bench.handlers.relabelTrial({ trialId, toolName: hollin.name, setupId: hollinSetup.id, reason });
    const nameOnly = { trialId, toolName: hollin.name, setupId: null, reason: 'Nobody knows the pack.' };
    await bench.handlers.relabelTrial(nameOnly);
    expect((await trial(trialId)).summary).toMatchObject({ step: { toolName: hollin.name }, setup: null });
    expect(() => bench.handlers.relabelTrial(nameOnly)).toThrow(
      expect.objectContaining({ code: 'invalid-state' }),
    );
    expect((await trial(trialId)).relabellings).toHaveLength(2);
  });

  it('keeps a setup that this bench does not have under its right name, and drops it only when asked to', async () => {
    await putInItems(bench.handlers);
    const trialId = await pull();
    const named = (toolName: string, setupId: string | null) =>
      bench.handlers.relabelTrial({ trialId, toolName, setupId, reason });
    await named(hollin.name, hollinSetup.id);
    const setup = { ...(await trial(trialId)).summary.setup, setupId: 'elsewhere' };
    // As a trial of another bench has it; the note brings the list up to it.
    bench.database
      .prepare(
        `INSERT INTO relabelling (trial_id, tool_name, setup_json, reason, operator, at)
         SELECT trial_id, tool_name, ?, reason, operator, at FROM relabelling`,
      )
      .run(JSON.stringify(setup));
    await bench.handlers.annotateTrial({ trialId, note: 'Of another bench.', tags: [] });
    expect((await trial(trialId)).summary.setup).toEqual(setup);
    await named('Hollin H5 mk 2', 'elsewhere');
    expect((await trial(trialId)).summary).toMatchObject({
      step: { toolName: 'Hollin H5 mk 2' },
      setup: { ...setup, toolName: 'Hollin H5 mk 2' },
    });
    expect(await list('pack mk')).toMatchObject({ total: 1 });
    const refusal = (code: string) => expect.objectContaining({ code }) as Error;
    expect(() => named('Hollin H5 mk 2', 'elsewhere')).toThrow(refusal('invalid-state'));
    await named('Hollin H5 mk 2', null);
    expect((await trial(trialId)).summary.setup).toBeNull();
    // It is the trial's no more.
    expect(() => named('Hollin H5 mk 2', 'elsewhere')).toThrow(refusal('bench-item-not-found'));
  });

  it.each([
    ['a setup that is not there', { toolName: hollin.name, setupId: 'nobody' }, 'bench-item-not-found'],
    ['a setup of another tool', { toolName: hollin.name, setupId: brindlowSetup.id }, 'invalid-request'],
    ['the name that it has', { toolName: 'Hollin H5', setupId: null }, 'invalid-state'],
  ])('is left alone with %s', async (_, named, code) => {
    await putInItems(bench.handlers);
    const trialId = await pull();
    const before = await trial(trialId);
    expect(() => bench.handlers.relabelTrial({ trialId, ...named, reason })).toThrow(
      expect.objectContaining({ code }),
    );
    expect(await trial(trialId)).toEqual(before);
  });

  it('waits until its recording has ended', async () => {
    await armFedBench(bench);
    bench.feed(200, 0.5);
    const { trialId } = bench.trial('run');
    await bench.until(
      'the begun trial in the database',
      () => bench.database.prepare('SELECT 1 FROM trial WHERE id = ?').get(trialId) !== undefined,
    );
    expect(() =>
      bench.handlers.relabelTrial({ trialId, toolName: 'Corvane C8', setupId: null, reason }),
    ).toThrow(expect.objectContaining({ code: 'trial-not-finished' }));
    bench.feed(200, 1.7);
    bench.feed(0, 3);
    await bench.untilPhase('kept');
    await bench.handlers.relabelTrial({ trialId, toolName: 'Corvane C8', setupId: null, reason });
    expect((await trial(trialId)).summary.step.toolName).toBe('Corvane C8');
  });
});

describe('what was ever computed of a trial', () => {
  it('is shown once it has been kept, oldest first', async () => {
    const trialId = await pullAndStop();
    expect((await trial(trialId)).evaluations).toEqual([]);
    await bench.handlers.keepTrial({ trialId });
    const { evaluations, figures } = await trial(trialId);
    expect(evaluations).toMatchObject([
      { definitionVersion: figures?.definitionVersion, calibrationId: figures?.calibrationId },
    ]);
    expect(evaluations[0]?.sustainedTorqueNm).toBeCloseTo(200, 1);
  });
});

describe('figures under other assumptions', () => {
  it('follow another calibration by the ratio of the gains, and nothing is stored', async () => {
    const trialId = await pull();
    const before = await trial(trialId);
    const counts = FED_CAPACITY_NM * COUNTS_PER_NM;
    const { id: calibrationId } = await bench.handlers.saveCalibration({
      label: 'Arm measured anew',
      input: {
        method: 'direct',
        zeroCounts: 0,
        forward: { torqueNm: 1.02 * FED_CAPACITY_NM, counts },
        reverse: { torqueNm: 1.02 * FED_CAPACITY_NM, counts: -counts },
      },
      enteredUncertaintyPercent: null,
      note: '',
      supersedeReason: 'The arm was measured anew.',
    });
    const { figures, assumptions } = await bench.handlers.whatIfTrial({
      trialId,
      ...asItIs,
      calibrationId,
    });
    const torque = (of: typeof before.figures): number => {
      const measure = of?.sustainedTorqueNm;
      return measure && 'value' in measure ? measure.value : Number.NaN;
    };
    expect(torque(figures) / torque(before.figures)).toBeCloseTo(1.02, 9);
    expect(assumptions).toEqual([
      'Read by the calibration “Arm measured anew” instead of “From the certificate”.',
    ]);
    expect(await trial(trialId)).toEqual(before);
  });

  it('follow another onset level and window, each in a sentence', async () => {
    const trialId = await pull();
    const { conditions, figures: before } = await trial(trialId);
    const { figures, assumptions } = await bench.handlers.whatIfTrial({
      trialId,
      calibrationId: null,
      onsetLevelNm: 100,
      windowS: 0.05,
    });
    expect(figures).toMatchObject({ onsetLevelNm: 100, windowS: 0.051 });
    // The curve of 51 samples rises to half of the step in the middle of it: at the step itself.
    expect(figures.onsetS).toBeGreaterThan(before?.onsetS ?? Number.NaN);
    expect(assumptions).toHaveLength(2);
    expect(assumptions[0]).toMatch(/^Onset at 100\.0.N·m \(73\.8.ft·lbf\) instead of 5\.0/);
    expect(assumptions[1]).toMatch(/^Measuring curve over 51.ms \(51 samples\) instead of 101.ms \(101\)\.$/);
    expect(conditions.onsetLevelNm).toBe(5);
  });

  it('that are none come to the trial’s own', async () => {
    const trialId = await pull();
    const { conditions, figures: own } = await trial(trialId);
    const { figures, assumptions } = await bench.handlers.whatIfTrial({
      trialId,
      calibrationId: conditions.calibrationId,
      onsetLevelNm: conditions.onsetLevelNm,
      windowS: 0.1,
    });
    expect(assumptions).toEqual([]);
    expect(figures).toEqual(own);
  });

  it('are refused where the rate does not carry the window', async () => {
    const trialId = await pull();
    await expect(bench.handlers.whatIfTrial({ trialId, ...asItIs, windowS: 0.006 })).rejects.toMatchObject({
      code: 'input-out-of-range',
      message: expect.stringMatching(/shortest window is 9 samples, 9\.0.ms/) as string,
    });
  });

  it('are refused with a calibration of another transducer', async () => {
    const trialId = await pull();
    const { id } = await bench.handlers.addTransducer({ name: 'Transducer 2' });
    await bench.handlers.activateTransducer({ transducerId: id });
    const { id: calibrationId } = await bench.handlers.saveCalibration({
      label: 'Of another',
      input: { method: 'direct', zeroCounts: 0, forward: { torqueNm: 1, counts: 1000 }, reverse: null },
      enteredUncertaintyPercent: null,
      note: '',
      supersedeReason: null,
    });
    await expect(bench.handlers.whatIfTrial({ trialId, ...asItIs, calibrationId })).rejects.toMatchObject({
      code: 'invalid-state',
    });
  });

  it('wait for a trial under way', async () => {
    const trialId = await pull();
    await armFedBench(bench);
    bench.feed(200, 0.5);
    await expect(bench.handlers.whatIfTrial({ trialId, ...asItIs })).rejects.toMatchObject({
      code: 'invalid-state',
    });
    bench.feed(200, 1.7);
    bench.feed(0, 3);
    await bench.untilPhase('kept');
    expect(await bench.handlers.whatIfTrial({ trialId, ...asItIs })).toMatchObject({ assumptions: [] });
  });
});

describe('figures of a window', () => {
  it('are those of the samples between two times from onset', async () => {
    const trialId = await pull();
    const figures = await bench.handlers.getWindowFigures({ trialId, fromS: 0.2, toS: 0.7 });
    expect(figures).toMatchObject({ fromS: 0.2, toS: 0.7, lostCount: 0 });
    expect(figures.sampleCount).toBeGreaterThanOrEqual(500);
    expect(figures.sampleCount).toBeLessThanOrEqual(501);
    // Fed as 200 N m with one count of noise by turns.
    expect(figures.meanNm).toBeCloseTo(200, 2);
    expect(figures.impulseNms).toBeCloseTo(100, 0);
    const nowhere = await bench.handlers.getWindowFigures({ trialId, fromS: 50, toS: 60 });
    expect(nowhere).toMatchObject({ sampleCount: 0, meanNm: null });
  });

  it('are refused backwards', async () => {
    const trialId = await pull();
    await expect(bench.handlers.getWindowFigures({ trialId, fromS: 1, toS: 0.5 })).rejects.toMatchObject({
      code: 'input-out-of-range',
    });
  });
});

describe('before a trial has been kept', () => {
  it('neither window nor what-if shows its figures', async () => {
    const trialId = await pullAndStop();
    const refused = expect.objectContaining({ code: 'invalid-state' }) as unknown;
    const ask = () => bench.handlers.getWindowFigures({ trialId, fromS: 0, toS: 0.3 });
    await expect(ask()).rejects.toEqual(refused);
    await expect(bench.handlers.whatIfTrial({ trialId, ...asItIs })).rejects.toEqual(refused);
    await bench.handlers.keepTrial({ trialId });
    expect(await ask()).toMatchObject({ lostCount: 0 });
  });
});

describe('the days of the list', () => {
  it('are those of this computer, both included', async () => {
    await pull();
    const { startedAt } = (await list('')).trials[0] ?? { startedAt: '' };
    const local = new Date(startedAt);
    const day = (plus: number): string => {
      const date = new Date(local.getFullYear(), local.getMonth(), local.getDate() + plus, 12);
      return [
        date.getFullYear(),
        String(date.getMonth() + 1).padStart(2, '0'),
        String(date.getDate()).padStart(2, '0'),
      ].join('-');
    };
    const count = async (fromDay: string | null, toDay: string | null): Promise<number> =>
      (await bench.handlers.listTrials({ search: '', state: null, fromDay, toDay, offset: 0, limit: 10 }))
        .total;
    expect(await count(day(0), day(0))).toBe(1);
    expect(await count(day(-1), null)).toBe(1);
    expect(await count(null, day(1))).toBe(1);
    expect(await count(day(1), null)).toBe(0);
    expect(await count(null, day(-1))).toBe(0);
    expect(await count('2000-01-01', '9999-12-31')).toBe(1);
  });
});
