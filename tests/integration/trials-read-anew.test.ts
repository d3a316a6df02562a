import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { RequestParams } from '../../shared-lib/api-contract.ts';
import { validityRows } from '../../shared-lib/calibration/words/validity-rows.ts';
import type { TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import {
  armFedBench,
  confirmFedSense,
  COUNTS_PER_NM,
  FED_CAPACITY_NM,
  startFedBench,
  type FedBench,
} from '../helpers/bench-with-fed-reader.ts';

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

/** A certificate whose counts come to `ratio` times the torque of the fed bench. */
async function calibrate(ratio: number): Promise<string> {
  const torqueNm = ratio * FED_CAPACITY_NM;
  const counts = FED_CAPACITY_NM * COUNTS_PER_NM;
  const request: RequestParams<'saveCalibration'> = {
    label: `At ${ratio}`,
    input: {
      method: 'direct',
      zeroCounts: 0,
      forward: { torqueNm: Math.abs(torqueNm), counts: Math.sign(torqueNm) * counts },
      reverse: { torqueNm: Math.abs(torqueNm), counts: -Math.sign(torqueNm) * counts },
    },
    enteredUncertaintyPercent: 0.5,
    note: '',
    supersedeReason: 'The arm was measured anew.',
  };
  return (await bench.handlers.saveCalibration(request)).id;
}

const reason = 'The arm had been measured wrong.';
const trial = async (trialId: string): Promise<TrialRecord> => bench.handlers.getTrial({ trialId });

describe('a trial that is read by another calibration', () => {
  it('changes its figures and curves by the ratio of the gains, and keeps what it was made with', async () => {
    const trialId = await pull();
    const before = await trial(trialId);
    const curveBefore = await bench.handlers.getTrialCurve({ trialId, fromS: 0, toS: 1, bins: 100 });
    const calibrationId = await calibrate(1.02);
    expect(await bench.handlers.reassignTrials({ trialIds: [trialId], calibrationId, reason })).toEqual({
      changedCount: 1,
    });

    const after = await trial(trialId);
    const sustained = (record: TrialRecord): number => {
      const measure = record.figures?.sustainedTorqueNm;
      return measure && 'value' in measure ? measure.value : Number.NaN;
    };
    expect(sustained(after) / sustained(before)).toBeCloseTo(1.02, 9);
    expect(after.summary.sustainedTorqueNm).toBe(sustained(after));
    expect(after.figures?.calibrationId).toBe(calibrationId);
    // The Bench shows it as it is read now, too.
    expect(bench.status().trial).toMatchObject({ phase: 'kept', trialId, figures: after.figures });
    expect(after.conditions).toEqual(before.conditions);
    expect(after.assignments).toMatchObject([{ calibrationId, label: 'At 1.02', reason, operator: '' }]);
    const curveAfter = await bench.handlers.getTrialCurve({ trialId, fromS: 0, toS: 1, bins: 100 });
    expect((curveAfter.maxNm[50] ?? 0) / (curveBefore.maxNm[50] ?? 1)).toBeCloseTo(1.02, 6);

    // The figures from before lie beneath, as they were shown.
    const evaluations = bench.database
      .prepare(
        'SELECT calibration_id AS id, sustained_torque_nm AS torqueNm FROM trial_evaluation ORDER BY trial_evaluation.id',
      )
      .all();
    expect(evaluations).toEqual([
      { id: before.conditions.calibrationId, torqueNm: sustained(before) },
      { id: calibrationId, torqueNm: sustained(after) },
    ]);
    const report = await bench.handlers.getCalibrationReport({ calibrationId });
    expect(report).toMatchObject({ version: { id: calibrationId }, run: null, result: null, trialCount: 1 });
    const old = await bench.handlers.getCalibrationReport({ calibrationId: before.conditions.calibrationId });
    expect(old).toMatchObject({ version: { supersedeReason: 'The arm was measured anew.' }, trialCount: 0 });
  });

  it('has still used up a trial of the one it was made with, and none of the other', async () => {
    const trialId = await pull();
    const { calibrationId: first } = (await trial(trialId)).conditions;
    const second = await calibrate(1.02);
    await bench.handlers.reassignTrials({ trialIds: [trialId], calibrationId: second, reason });
    const rowsOf = async (calibrationId: string) => {
      const report = await bench.handlers.getCalibrationReport({ calibrationId });
      const heldForOne = { ...report, version: { ...report.version, validForTrials: 1 } };
      const rows = validityRows(heldForOne, { day: String, instant: String });
      return rows.flatMap(({ name, value }) => (name.startsWith('Trials') ? [[name, value]] : []));
    };
    expect(await rowsOf(first)).toEqual([
      ['Trials made with it', '1, no trials left'],
      ['Trials read by it', '0'],
    ]);
    expect(await rowsOf(second)).toEqual([
      ['Trials made with it', '0, 1 more trial'],
      ['Trials read by it', '1'],
    ]);
    const sentenceOf = async (calibrationId: string) =>
      (await bench.handlers.describeSubject({ subject: { kind: 'calibration', calibrationId } })).sentence;
    expect(await sentenceOf(first)).toContain('It reads no trial; 1 was made with it.');
    expect(await sentenceOf(second)).toContain('It reads 1 trial; 0 were made with it.');
  });

  it('can be read by the one it was made with again, and asking for what holds changes nothing', async () => {
    const trialId = await pull();
    const before = await trial(trialId);
    const other = await calibrate(1.05);
    const ask = (calibrationId: string) =>
      bench.handlers.reassignTrials({ trialIds: [trialId, trialId], calibrationId, reason });
    expect(await ask(before.conditions.calibrationId)).toEqual({ changedCount: 0 });
    await ask(other);
    expect(await ask(other)).toEqual({ changedCount: 0 });
    expect(await ask(before.conditions.calibrationId)).toEqual({ changedCount: 1 });
    const after = await trial(trialId);
    expect(after.figures).toEqual(before.figures);
    expect(after.assignments.map(({ label }) => label)).toEqual(['At 1.05', 'From the certificate']);
  });

  it('waits until a trial under way is over', async () => {
    const trialId = await pull();
    const calibrationId = await calibrate(1.05);
    await confirmFedSense(bench);
    await armFedBench(bench);
    bench.feed(200, 0.5);
    bench.trial('run');
    let isDone = false;
    const asked = Promise.resolve(
      bench.handlers.reassignTrials({ trialIds: [trialId], calibrationId, reason }),
    ).then((result) => {
      isDone = true;
      return result;
    });
    bench.feed(200, 1.7);
    expect(isDone).toBe(false);
    bench.feed(0, 3);
    await bench.untilPhase('kept');
    bench.wait(0.5);
    expect(await asked).toEqual({ changedCount: 1 });
  });

  it.each([
    ['a calibration that is not there', 'nothing', 'calibration-not-found'],
    ['a calibration of another transducer', 'other transducer', 'invalid-state'],
    ['counts that run the other way', 'other way', 'invalid-state'],
  ])('is refused with %s', async (_, which, code) => {
    const trialId = await pull();
    const before = await trial(trialId);
    let calibrationId = 'nothing';
    if (which === 'other way') calibrationId = await calibrate(-1);
    if (which === 'other transducer') {
      const { id } = await bench.handlers.addTransducer({ name: 'Transducer 2' });
      await bench.handlers.activateTransducer({ transducerId: id });
      calibrationId = await calibrate(1);
    }
    await expect(
      bench.handlers.reassignTrials({ trialIds: [trialId], calibrationId, reason }),
    ).rejects.toMatchObject({ code });
    expect(await trial(trialId)).toEqual(before);
  });

  it('is refused while it is recorded, and then none is changed', async () => {
    const first = await pull();
    const { calibrationId: own } = (await trial(first)).conditions;
    const other = await calibrate(1.05);
    await confirmFedSense(bench);
    await armFedBench(bench);
    bench.feed(200, 0.5);
    const { trialId: second } = bench.trial('run');
    await bench.until(
      'the begun trial in the database',
      () => bench.database.prepare('SELECT 1 FROM trial WHERE id = ?').get(second) !== undefined,
    );
    await expect(
      bench.handlers.reassignTrials({ trialIds: [first, second], calibrationId: other, reason }),
    ).rejects.toMatchObject({ code: 'trial-not-finished' });
    expect((await trial(first)).figures?.calibrationId).toBe(own);
  });
});
