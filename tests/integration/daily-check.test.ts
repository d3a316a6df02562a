import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { EventPayload } from '../../shared-lib/api-contract.ts';
import type { CheckMeans, DailyCheck } from '../../shared-lib/calibration/daily-check-model.ts';
import type { TrialSummary } from '../../shared-lib/trial/trial-model.ts';
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
  await calibrate(0.5);
  await confirmFedSense(bench);
});
afterEach(() => bench.close());

/** The fed bench by its certificate, with a stated uncertainty (k = 2). */
async function calibrate(enteredUncertaintyPercent: number | null, hasReverse = true): Promise<string> {
  const loaded = (sign: 1 | -1) => ({
    torqueNm: FED_CAPACITY_NM,
    counts: sign * FED_CAPACITY_NM * COUNTS_PER_NM,
  });
  const { id } = await bench.handlers.saveCalibration({
    label: 'From the certificate',
    input: {
      method: 'direct',
      zeroCounts: 0,
      forward: loaded(1),
      reverse: hasReverse ? loaded(-1) : null,
    },
    enteredUncertaintyPercent,
    note: '',
    supersedeReason: 'In a test.',
  });
  return id;
}

/** 10 kg on 1 m at 9.81 m/s2 in air of 1.2 kg/m3: 10 x 9.81 x (1 - 1.2/8000) N m, by the definition of conventional mass. */
const REFERENCE_NM = 98.085285;
const weight = (sense: 'forward' | 'reverse' = 'forward'): CheckMeans => ({
  kind: 'weight',
  sense,
  weights: [
    {
      id: 'weight-1',
      name: '10 kg (demo)',
      massKg: 10,
      densityKgM3: 7950,
      tolerance: { kind: 'own', uncertaintyKg: { kind: 'limit', limit: 0.0005 } },
      certificate: '',
      certificateValidUntil: null,
    },
  ],
  arm: {
    id: 'arm-1',
    name: 'Bar (demo)',
    lengthM: 1,
    lengthUncertaintyM: { kind: 'limit', limit: 0.0002 },
    angleDeg: 0,
    angleLimitDeg: 0,
    own: null,
  },
  site: {
    id: 'site-1',
    name: 'Hall (demo)',
    gravity: { source: 'entered', gravityMps2: 9.81 },
    gravityUncertaintyMps2: { kind: 'limit', limit: 0.0001 },
    air: { source: 'standard' },
  },
});

/** A check weight that reads so many percent too much. */
async function check(errorPercent: number, sense: 'forward' | 'reverse' = 'forward'): Promise<DailyCheck> {
  bench.wait(0.02);
  const readingNm = REFERENCE_NM * (1 + errorPercent / 100);
  const done = await bench.handlers.recordDailyCheck({
    means: weight(sense),
    zeroCounts: 120,
    readingCounts: 120 + (sense === 'forward' ? 1 : -1) * readingNm * COUNTS_PER_NM,
    newReferenceReason: null,
  });
  bench.wait(0.02);
  return done;
}

/** A run of one second at 200 N m; kept by hand where its quality asks for a look. */
async function pull(): Promise<string> {
  await armFedBench(bench);
  bench.feed(200, 2.2);
  const { trialId } = bench.status().trial as { trialId: string };
  bench.feed(0, 3);
  await bench.until('the end of the trial', () => ['kept', 'reviewing'].includes(bench.status().trial.phase));
  if (bench.status().trial.phase === 'reviewing') await bench.handlers.keepTrial({ trialId });
  return trialId;
}

const checks = () => bench.handlers.getDailyChecks({});
const suspectIds = async (): Promise<string[]> =>
  (await checks()).failures.flatMap(({ trialIds }) => trialIds);
const summaryOf = async (trialId: string): Promise<TrialSummary> =>
  (await bench.handlers.getTrial({ trialId })).summary;

const shunt = async (readingNm: number, newReferenceReason: string | null = null): Promise<DailyCheck> =>
  bench.handlers.recordDailyCheck({
    means: { kind: 'shunt' },
    zeroCounts: 0,
    readingCounts: readingNm * COUNTS_PER_NM,
    newReferenceReason,
  });

describe('the daily check', () => {
  it('compares the reading with the weight, sense by sense, within the joint uncertainty', async () => {
    const forward = await check(0.3);
    expect(forward).toMatchObject({ verdict: 'passed', zeroCounts: 120, operator: '' });
    expect(forward.referenceNm).toBeCloseTo(REFERENCE_NM, 9);
    expect(forward.errorNm).toBeCloseTo(0.003 * REFERENCE_NM, 9);
    // 0.5 % of the calibration; of the check 2 x arm length 0.2 mm/sqrt(3), mass 0.5 g/sqrt(3), gravity 1e-4/sqrt(3):
    const relativeCheck = (2 / Math.sqrt(3)) * Math.hypot(2e-4, 5e-5, 1e-4 / 9.81);
    expect(forward.limitNm).toBeCloseTo(REFERENCE_NM * Math.hypot(0.005, relativeCheck), 3);

    const reverse = await check(-0.7, 'reverse');
    expect(reverse).toMatchObject({ verdict: 'failed' });
    expect(reverse.errorNm).toBeCloseTo(-0.007 * REFERENCE_NM, 9);
    expect(reverse.reasons[0]).toMatchObject({ isBroken: true });

    const { state, checks: listed, usualMeans } = await checks();
    expect(listed).toEqual([reverse, forward]);
    expect(usualMeans).toEqual(weight('reverse'));
    expect(state).toMatchObject({ state: 'failed', lastPassedAt: forward.at });
    const { calibration } = bench.status();
    expect(calibration).toMatchObject({ isExpired: true, check: state });
    const report = await bench.handlers.getCalibrationReport({ calibrationId: forward.calibrationId });
    expect(report.checks).toEqual(listed);
  });

  it('judges the shunt by its first reading under the calibration', async () => {
    expect(await shunt(250)).toMatchObject({ verdict: 'reference', referenceNm: 250, errorNm: 0 });
    expect((await checks()).state.state).toBe('none');
    expect(await shunt(250.1)).toMatchObject({ verdict: 'passed', referenceNm: 250 });
    expect(await shunt(240)).toMatchObject({ verdict: 'failed', referenceNm: 250, errorNm: -10 });
    await calibrate(0.5);
    expect(await shunt(240)).toMatchObject({ verdict: 'reference', referenceNm: 240 });
  });

  it('is told in the status, also where it changes neither the state nor the mark of a trial', async () => {
    const newestId = () => bench.status().calibration?.check.newestCheckId;
    expect(newestId()).toBeNull();
    const reference = await shunt(250);
    expect(newestId()).toBe(reference.id);
    await shunt(240);
    const again = await shunt(240);
    expect(again.verdict).toBe('failed');
    expect(newestId()).toBe(again.id);
  });

  it('takes no shunt that was not on for the reference, and a new reference with its reason', async () => {
    // Five counts: the shunt was not switched on.
    await expect(async () => shunt(5 / COUNTS_PER_NM)).rejects.toMatchObject({ code: 'input-out-of-range' });
    expect((await checks()).checks).toEqual([]);
    await shunt(50);
    const doubted = await pull();
    const failed = await shunt(250);
    expect(failed.verdict).toBe('failed');
    // Held to itself it would pass, whatever has become of the bench.
    await expect(async () => shunt(250, 'Another shunt (demo).')).rejects.toMatchObject({
      code: 'invalid-state',
      message: expect.stringContaining('check with a weight first') as string,
    });
    expect(await check(0.1)).toMatchObject({ verdict: 'passed' });
    const renewed = await shunt(250, 'Another shunt (demo).');
    expect(renewed).toMatchObject({ verdict: 'reference', referenceNm: 250 });
    expect(renewed.reasons).toContainEqual(
      expect.objectContaining({ isBroken: false, sentence: 'Another shunt (demo).' }),
    );
    // The trial before the failure keeps its mark.
    expect(await checks()).toMatchObject({
      state: { state: 'passed' },
      failures: [{ checkId: failed.id, trialIds: [doubted] }],
    });
    expect(await shunt(250.1)).toMatchObject({ verdict: 'passed', referenceNm: 250 });
    expect(await suspectIds()).toEqual([doubted]);
    await expect(async () =>
      bench.handlers.recordDailyCheck({
        means: weight(),
        zeroCounts: 0,
        readingCounts: REFERENCE_NM * COUNTS_PER_NM,
        newReferenceReason: 'For no reason.',
      }),
    ).rejects.toMatchObject({ code: 'invalid-state' });
  });

  it('takes no new reference of the shunt while a weight fails in one sense, though the other one passes', async () => {
    await shunt(250);
    const failed = await check(2);
    expect(await check(0.1, 'reverse')).toMatchObject({ verdict: 'passed' });
    expect(await shunt(250.1)).toMatchObject({ verdict: 'passed' });
    expect((await checks()).state.state).toBe('failed');
    await expect(async () => shunt(260, 'Another shunt (demo).')).rejects.toMatchObject({
      code: 'invalid-state',
      message: expect.stringContaining('in the same sense where a weight failed') as string,
    });
    expect((await checks()).failures).toMatchObject([{ checkId: failed.id }]);
    expect(await check(0.1)).toMatchObject({ verdict: 'passed' });
    expect((await checks()).state.state).toBe('passed');
    expect(await shunt(260, 'Another shunt (demo).')).toMatchObject({ verdict: 'reference' });
  });

  it('says what a load makes before it hangs, and refuses one that transducer or rig may not bear', async () => {
    const tooMuch = weight();
    if (tooMuch.kind !== 'weight') throw new Error('A weight is meant.');
    const means = { ...tooMuch, arm: { ...tooMuch.arm, lengthM: 6 } };
    const within = await bench.handlers.previewDailyCheck({ means: weight() });
    expect(within).toMatchObject({ way: 'weightsOnArm', findings: [] });
    expect(within.torqueNm).toBeCloseTo(REFERENCE_NM, 9);
    const { findings } = await bench.handlers.previewDailyCheck({ means });
    expect(findings).toMatchObject([{ code: 'over-capacity', severity: 'stop' }]);
    const recorded = async () =>
      bench.handlers.recordDailyCheck({
        means,
        zeroCounts: 0,
        readingCounts: 6 * REFERENCE_NM * COUNTS_PER_NM,
        newReferenceReason: null,
      });
    await expect(recorded).rejects.toMatchObject({
      code: 'invalid-state',
      message: expect.stringContaining('more than the capacity') as string,
    });
    expect((await checks()).checks).toEqual([]);
  });

  it('is refused while a trial is under way, and in a sense that was not calibrated', async () => {
    await calibrate(0.5, false);
    await expect(async () => check(0, 'reverse')).rejects.toMatchObject({
      code: 'calibration-sense-missing',
    });
    await confirmFedSense(bench);
    await armFedBench(bench);
    await expect(async () => check(0)).rejects.toMatchObject({ code: 'invalid-state' });
    expect((await checks()).checks).toEqual([]);
  });

  it('is due again after an overload, in a trial or not', async () => {
    await check(0);
    expect(bench.status().calibration?.check.state).toBe('passed');
    bench.feed(FED_CAPACITY_NM + 20, 0.1);
    bench.feed(0, 0.2);
    await bench.until('the overload to be kept', () => bench.status().calibration?.check.state === 'due');
    expect(bench.status().calibration).toMatchObject({
      isExpired: false,
      check: { sentence: expect.stringContaining('An overload came after the last check') as string },
    });
    // Blow after blow is one overload.
    bench.feed(FED_CAPACITY_NM + 20, 0.1);
    await check(0);
    expect(bench.status().calibration?.check.state).toBe('passed');
    expect(bench.database.prepare('SELECT count(*) FROM overload').pluck().get()).toBe(1);
  });
});

describe('a check that fails', () => {
  it('marks exactly the trials between the passes around it until the operator decides', async () => {
    const before = await pull();
    await check(0.1);
    const doubted = await pull();
    const failed = await check(2);
    // The bench goes on, and what it measures says so.
    const after = await pull();
    const { figures } = await bench.handlers.getTrial({ trialId: after });
    expect(figures?.quality).toMatchObject({
      verdict: 'look',
      reasons: [{ code: 'calibrationExpired', severity: 'look' }],
    });
    await check(0.1);
    const later = await pull();

    // The pass clears nobody.
    expect(await suspectIds()).toEqual([after, doubted]);
    expect(bench.status().calibration?.check).toMatchObject({ state: 'passed', suspectCount: 2 });
    for (const trialId of [before, later]) expect((await summaryOf(trialId)).suspicion).toBeNull();
    const mark = { checkId: failed.id, failedAt: failed.at, decision: null, reason: null };
    expect((await summaryOf(doubted)).suspicion).toEqual(mark);
    const list = (state: 'suspect' | 'excluded') =>
      bench.handlers.listTrials({ search: '', state, offset: 0, limit: 10 });
    expect(await list('suspect')).toMatchObject({ total: 2, trials: [{ id: after }, { id: doubted }] });

    const decided = await bench.handlers.decideSuspects({
      trialIds: [doubted],
      checkId: failed.id,
      decision: 'usable',
      reason: 'The bar slipped afterwards.',
    });
    expect(decided).toEqual({ decidedCount: 1 });
    await bench.handlers.decideSuspects({
      trialIds: [after],
      checkId: failed.id,
      decision: 'excluded',
      reason: 'The bar had slipped.',
    });
    expect(await suspectIds()).toEqual([]);
    expect(bench.status().calibration?.check.suspectCount).toBe(0);
    expect((await summaryOf(doubted)).suspicion).toEqual({
      ...mark,
      decision: 'usable',
      reason: 'The bar slipped afterwards.',
    });
    expect(await list('excluded')).toMatchObject({ total: 1, trials: [{ id: after }] });
    await expect(async () =>
      bench.handlers.decideSuspects({
        trialIds: [later],
        checkId: failed.id,
        decision: 'usable',
        reason: 'For no reason.',
      }),
    ).rejects.toMatchObject({ code: 'invalid-state' });
  });

  it('is told to each trial that stands under its mark from now on, also where another one marked it before', async () => {
    const waiting = await pull();
    const leftOut = await pull();
    const first = await check(2);
    await bench.handlers.decideSuspects({
      trialIds: [leftOut],
      checkId: first.id,
      decision: 'excluded',
      reason: 'The bar had slipped.',
    });
    const told = new Set<string>();
    bench.services.onEvent((name, payload) => {
      if (name === 'trialsChanged') told.add((payload as EventPayload<'trialsChanged'>).trialId);
    });
    const second = await check(2);
    expect(told).toEqual(new Set([waiting, leftOut]));
    expect((await summaryOf(waiting)).suspicion).toMatchObject({ checkId: second.id, decision: null });
    expect((await summaryOf(leftOut)).suspicion).toMatchObject({ checkId: second.id, decision: 'excluded' });
    // A pass moves no mark.
    told.clear();
    await check(0.1);
    expect(told).toEqual(new Set());
  });

  it('is decided about for its own trials only, beside a failure under the next calibration', async () => {
    const under = { a: await pull(), b: '' };
    const failedUnderA = await check(2);
    await calibrate(0.5);
    // Before the first failure of the next one too.
    expect((await checks()).failures).toEqual([
      { checkId: failedUnderA.id, failedAt: failedUnderA.at, trialIds: [under.a] },
    ]);
    await confirmFedSense(bench);
    under.b = await pull();
    const failedUnderB = await check(2);
    expect((await checks()).failures).toEqual([
      { checkId: failedUnderB.id, failedAt: failedUnderB.at, trialIds: [under.b] },
      { checkId: failedUnderA.id, failedAt: failedUnderA.at, trialIds: [under.a] },
    ]);
    const ofOther = { trialIds: [under.b], checkId: failedUnderA.id };
    await expect(async () =>
      bench.handlers.decideSuspects({ ...ofOther, decision: 'usable', reason: 'The weight hung askew.' }),
    ).rejects.toMatchObject({ code: 'invalid-state' });
    await bench.handlers.decideSuspects({
      trialIds: [under.b],
      checkId: failedUnderB.id,
      decision: 'excluded',
      reason: 'The bar had slipped.',
    });
    // The newest failure that no pass has followed stays to be put right, with no trial to decide on.
    expect((await checks()).failures).toMatchObject([
      { checkId: failedUnderB.id, trialIds: [] },
      { checkId: failedUnderA.id, trialIds: [under.a] },
    ]);
    expect((await summaryOf(under.a)).suspicion?.decision).toBeNull();
  });

  it('still waits for its decision under the next calibration, and reading the trial by that one does not decide', async () => {
    const doubted = await pull();
    await check(2);
    const calibrationId = await calibrate(0.5);
    expect(await suspectIds()).toEqual([doubted]);
    expect(bench.status().calibration).toMatchObject({ isExpired: false, check: { state: 'none' } });
    await bench.handlers.reassignTrials({ trialIds: [doubted], calibrationId, reason: 'Calibrated anew.' });
    expect(await suspectIds()).toEqual([doubted]);
  });
});
