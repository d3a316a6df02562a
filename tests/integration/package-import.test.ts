import { afterEach, describe, expect, it } from 'vitest';
import { AppError } from '../../shared-lib/app-error.ts';
import { planRun } from '../../shared-lib/calibration/plan-run.ts';
import { createBenchGuards } from '../../main/bench/bench-guards.ts';
import { useBuiltInCalibration } from '../../main/bench/built-in-calibration.ts';
import { simulatedBenchTarget } from '../../main/bench/simulated-bench-target.ts';
import { createRunClaim } from '../../main/bench/run-claim.ts';
import { importPackage } from '../../main/package/import-package.ts';
import { annotate } from '../../main/storage/annotation-repository.ts';
import { benchOfTrial, listBenches } from '../../main/storage/bench-repository.ts';
import { getCalibration, insertCalibration } from '../../main/storage/calibration-repository.ts';
import { assignCalibration } from '../../main/storage/assignment-repository.ts';
import { getRun, insertRun, insertRunEvent } from '../../main/storage/run-repository.ts';
import { endSession, getSessionSummary } from '../../main/storage/session-repository.ts';
import { demoSetup } from '../helpers/run-setups.ts';
import { listImports } from '../../main/storage/import-repository.ts';
import {
  ensureSimulatedTransducer,
  listOwnTransducers,
  listTransducers,
} from '../../main/storage/transducer-repository.ts';
import { getTrial, listInterruptedUndecided, recordDecision } from '../../main/storage/trial-repository.ts';
import { everyRow } from './package-support/every-row.ts';
import { createPackageBench, type PackageBench, quietTools } from './package-support/package-bench.ts';
import {
  partsOf,
  resealed,
  smallBench,
  smallTrial,
  withText,
  writeParts,
} from './package-support/package-parts.ts';
import {
  at,
  calibration,
  decision,
  figures,
  seedBench,
  sessionId,
  storeTrial,
} from './storage-support/bench-fixture.ts';

const benches: PackageBench[] = [];

afterEach(() => {
  for (const bench of benches.splice(0)) bench.remove();
});

async function makerAndTaker(): Promise<{ maker: PackageBench; taker: PackageBench; file: string }> {
  const maker = await smallBench();
  const taker = createPackageBench({ id: 'bench-b', name: 'Bench B' });
  benches.push(maker, taker);
  return { maker, taker, file: await maker.write('first.zip') };
}

async function refusalOf(work: Promise<unknown>): Promise<AppError> {
  const refused = await work.then(
    () => null,
    (error: unknown) => error,
  );
  if (refused instanceof AppError) return refused;
  throw new Error('It was not refused', { cause: refused });
}

const note = (text: string) => ({ note: text, tags: [], operator: 'Demo operator', at });

describe('taking a package in', () => {
  it('shows whose trials they are, with scores and lists as if they had been pulled here', async () => {
    const { taker, maker, file } = await makerAndTaker();
    await taker.takeIn(file);
    const { database } = taker;
    expect(benchOfTrial(database, smallTrial)).toEqual({ id: 'bench-a', name: 'Bench A', isOwn: false });
    expect(getTrial(database, smallTrial).summary.benchName).toBe('Bench A');
    expect(getTrial(maker.database, smallTrial).summary).not.toHaveProperty('benchName');
    const { summary, ...rest } = getTrial(database, smallTrial);
    const own = getTrial(maker.database, smallTrial);
    expect({ ...rest, summary: { ...summary, benchName: undefined } }).toEqual({
      ...own,
      summary: { ...own.summary, benchName: undefined },
    });
    // Groups are numbered as they come.
    const scored = `SELECT score_group.*, trial_score.*, 0 AS id, 0 AS group_id
      FROM trial_score JOIN score_group ON score_group.id = group_id ORDER BY trial_id`;
    expect(database.prepare(scored).all()).toEqual(maker.database.prepare(scored).all());
    expect(listImports(database)).toMatchObject([{ kind: 'package', benchName: 'Bench A', trialCount: 2 }]);
    expect(listBenches(database)).toEqual([
      { id: 'bench-b', name: 'Bench B', isOwn: true, trialCount: 0 },
      { id: 'bench-a', name: 'Bench A', isOwn: false, trialCount: 2 },
    ]);
  });

  it('offers neither its transducers nor its interrupted trials where one works with one’s own', async () => {
    const { taker, maker } = await makerAndTaker();
    const [transducer] = listTransducers(maker.database);
    if (!transducer) throw new Error('The bench has no transducer');
    storeTrial(maker.database, transducer, 'interrupted', { id: 'trial-cut' });
    await taker.takeIn(await maker.write('with-cut.zip'));
    expect(listTransducers(taker.database)).toHaveLength(1);
    expect(listOwnTransducers(taker.database)).toEqual([]);
    expect(listInterruptedUndecided(taker.database)).toEqual([]);
    expect(listInterruptedUndecided(maker.database)).toEqual(['trial-cut']);
  });

  it('leaves out trials that are under way or that nobody has decided about', async () => {
    const { taker, maker } = await makerAndTaker();
    const [transducer] = listTransducers(maker.database);
    if (!transducer) throw new Error('The bench has no transducer');
    storeTrial(maker.database, transducer, 'reviewing', { id: 'trial-looked-at' });
    const { trials } = await taker.preview(await maker.write('second.zip'));
    expect(trials.newCount).toBe(2);
  });

  it('keeps the origin of trials that come by way of a third bench', async () => {
    const { taker, file } = await makerAndTaker();
    await taker.takeIn(file);
    const third = createPackageBench({ id: 'bench-c', name: 'Bench C' });
    benches.push(third);
    await third.takeIn(await taker.write('passed-on.zip'));
    expect(benchOfTrial(third.database, smallTrial)).toMatchObject({ id: 'bench-a', name: 'Bench A' });
  });

  it('takes over what happened to a trial since on its own bench', async () => {
    const { taker, maker, file } = await makerAndTaker();
    await taker.takeIn(file);
    recordDecision(maker.database, smallTrial, decision('voided', { reason: 'It slipped.' }));
    annotate(maker.database, smallTrial, note('Slipped off.'));
    const later = await maker.write('later.zip');
    expect(await taker.preview(later)).toMatchObject({
      trials: { newCount: 0, knownCount: 2 },
      newEntries: [],
      added: ['1 void', '1 note'],
    });
    expect((await taker.takeIn(later)).sentence).toBe(
      '2 trials of the package were here already. Added to what was here: 1 void, 1 note.',
    );
    const trial = getTrial(taker.database, smallTrial);
    expect(trial.summary).toMatchObject({ isVoided: true, hasNote: true });
    expect(trial.decisions.map((row) => row.decision)).toEqual(['kept', 'voided']);
    // The older package again: nothing is taken back.
    expect((await taker.takeIn(file)).sentence).toBe(
      'Nothing new. 2 trials of the package were here already.',
    );
    expect(getTrial(taker.database, smallTrial).summary.isVoided).toBe(true);
  });

  it('says of a package with new trials too what it adds to those that are here', async () => {
    const { taker, maker, file } = await makerAndTaker();
    await taker.takeIn(file);
    const [transducer] = listTransducers(maker.database);
    if (!transducer) throw new Error('The bench has no transducer');
    storeTrial(maker.database, transducer, 'kept', { id: 'trial-3' });
    recordDecision(maker.database, smallTrial, decision('voided', { reason: 'It slipped.' }));
    recordDecision(maker.database, smallTrial, decision('restored', { reason: 'It did not.' }));
    recordDecision(maker.database, 'trial-2', decision('voided', { reason: 'It slipped.' }));
    insertCalibration(maker.database, calibration({ id: 'calibration-2' }), { reason: 'Measured anew.' });
    assignCalibration(
      maker.database,
      smallTrial,
      { calibrationId: 'calibration-2', reason: 'Better.', operator: '', at },
      { ...figures(330), calibrationId: 'calibration-2' },
    );
    endSession(maker.database, sessionId, at);
    const later = await maker.write('later.zip');
    const added = [
      '2 voids',
      '1 void taken back',
      '1 other calibration',
      '1 set of figures',
      '1 calibration superseded',
      '1 session ended',
    ];
    const preview = await taker.preview(later);
    expect([preview.newEntries, preview.added]).toEqual([['1 trial', '1 calibration'], added]);
    expect((await taker.takeIn(later)).sentence).toBe(
      `1 trial taken in. 2 trials of the package were here already. Added to what was here: ${added.join(', ')}.`,
    );
    expect(getCalibration(taker.database, 'calibration-1').supersedeReason).toBe('Measured anew.');
    expect(getSessionSummary(taker.database, sessionId).endedAt).toBe(at);
  });

  it('counts what is new beside trials as new', async () => {
    const { taker, maker, file } = await makerAndTaker();
    await taker.takeIn(file);
    const insert = `INSERT INTO tool (id, name, name_folded, supply, is_archived) VALUES (?, ?, ?, 'battery', 0)`;
    maker.database.prepare(insert).run('tool-a', 'Hollin H5', 'hollin h5');
    const later = await maker.write('with-tool.zip');
    expect(await taker.preview(later)).toMatchObject({ newEntries: ['1 tool'], added: [] });
    expect((await taker.takeIn(later)).sentence).toBe(
      '1 tool taken in. 2 trials of the package were here already.',
    );
  });

  it('overrules nobody who decided here, and says so', async () => {
    const { taker, maker, file } = await makerAndTaker();
    await taker.takeIn(file);
    annotate(taker.database, smallTrial, note('Ours.'));
    annotate(maker.database, smallTrial, note('Theirs.'));
    const later = await maker.write('later.zip');
    const { remarks, conflicts } = await taker.preview(later);
    expect(conflicts).toEqual([]);
    expect(remarks.join(' ')).toContain('what is here stays');
    expect((await taker.takeIn(later)).sentence).toContain('about 1 entry that was here was not taken in.');
    expect(getTrial(taker.database, smallTrial).annotations.map((row) => row.note)).toEqual(['Ours.']);
  });

  it('lets no other bench add to trials, not even to one’s own', async () => {
    const { taker, maker, file } = await makerAndTaker();
    await taker.takeIn(file);
    recordDecision(taker.database, smallTrial, decision('voided', { reason: 'We would not count it.' }));
    const back = await taker.write('back.zip');
    await maker.takeIn(back);
    expect(getTrial(maker.database, smallTrial).summary.isVoided).toBe(false);
    expect(getTrial(maker.database, smallTrial).decisions).toHaveLength(1);
  });

  it('gives a tool another name where its own is taken, and keeps names that were changed here', async () => {
    const { taker, maker } = await makerAndTaker();
    const insert = `INSERT INTO tool (id, name, name_folded, supply, is_archived) VALUES (?, ?, ?, 'battery', 0)`;
    maker.database.prepare(insert).run('tool-a', 'Hollin H5', 'hollin h5');
    taker.database.prepare(insert).run('tool-b', 'HOLLIN H5', 'hollin h5');
    const file = await maker.write('with-tool.zip');
    expect((await taker.preview(file)).remarks.join(' ')).toContain('comes in as "Hollin H5 (Bench A)"');
    await taker.takeIn(file);
    const names = (): unknown => taker.database.prepare('SELECT name FROM tool ORDER BY id').pluck().all();
    expect(names()).toEqual(['Hollin H5 (Bench A)', 'HOLLIN H5']);
    const again = await taker.preview(file);
    expect(again.conflicts).toEqual([]);
    expect(again.remarks.join(' ')).toContain('1 tool is named or described otherwise here');
    await taker.takeIn(file);
    expect(names()).toEqual(['Hollin H5 (Bench A)', 'HOLLIN H5']);
  });

  it.each([
    ['another planned time', 'data/trial.csv', ',forward,5,', ',forward,6,', /planned_s is 5 here and 6/],
    ['another gain', 'data/calibration.csv', '0.00025', '0.00026', /calibration calibration-1: forward_gain/],
    ['another raw count', 'data/counts/trial-1.csv', '1,2', '1,4', /raw counts/],
    ['another arrival', 'data/arrivals/trial-1.csv', /,\d+\r\n$/, ',77\r\n', /raw counts or their times/],
  ])('takes nothing in where the same identity has %s', async (_, path, find, replacement, problem) => {
    const { taker, maker, file } = await makerAndTaker();
    await taker.takeIn(file);
    const before = everyRow(taker.database);
    const more = withText(partsOf(await maker.write('again.zip')), path, (text) =>
      text.replace(find, replacement),
    );
    const changed = writeParts(taker.folder, 'changed.zip', resealed(more));
    const preview = await taker.preview(changed);
    expect(preview.conflicts.join(' ')).toMatch(problem);
    const refused = await refusalOf(taker.takeIn(changed));
    expect(refused.code).toBe('package-conflict');
    expect(refused.message).toMatch(problem);
    expect(everyRow(taker.database)).toBe(before);
    expect(taker.leftBehind()).toEqual([]);
  });

  it('takes nothing in of another file than the one that was looked at', async () => {
    const { taker, file } = await makerAndTaker();
    const before = everyRow(taker.database);
    const work = importOf(taker, file, 'f'.repeat(64));
    expect((await refusalOf(importPackage(work, quietTools))).code).toBe('package-invalid');
    expect(everyRow(taker.database)).toBe(before);
  });

  it('is undone whole at whatever moment it is cancelled', async () => {
    const { taker, file } = await makerAndTaker();
    const { fingerprint } = await taker.preview(file);
    const before = everyRow(taker.database);
    for (let lastPause = 1; ; lastPause += 1) {
      let pauses = 0;
      const pause = (): Promise<void> => {
        pauses += 1;
        return pauses < lastPause
          ? Promise.resolve()
          : Promise.reject(new AppError('cancelled', 'It was cancelled.'));
      };
      const work = importPackage(importOf(taker, file, fingerprint), { progress: () => undefined, pause });
      const outcome = await work.catch((error: unknown) => error);
      if (!(outcome instanceof AppError)) {
        // It was through before that: while reading, before and within the transaction there were others.
        expect(lastPause).toBeGreaterThan(3);
        break;
      }
      expect(outcome.code).toBe('cancelled');
      expect(everyRow(taker.database)).toBe(before);
      expect(taker.leftBehind()).toEqual([]);
    }
    expect(everyRow(taker.database)).not.toBe(before);
  });

  it('tells the simulated bench of another program from no other', async () => {
    const { taker, maker } = await makerAndTaker();
    const empty = createPackageBench({ id: 'bench-c', name: 'Bench C' });
    benches.push(empty);
    for (const [bench, day] of [
      [maker, '2026-01-01T00:00:00.000Z'],
      [taker, '2026-02-02T00:00:00.000Z'],
    ] as const) {
      const { transducer, calibration: builtIn } = simulatedBenchTarget(1, day);
      ensureSimulatedTransducer(bench.database, transducer);
      useBuiltInCalibration(bench.database, builtIn);
    }
    const file = await maker.write('simulated.zip');
    expect((await taker.preview(file)).conflicts).toEqual([]);
    await taker.takeIn(file);
    await empty.takeIn(file);
    // Where it came with a package it is used like one's own.
    const { transducer, calibration: builtIn } = simulatedBenchTarget(1, at);
    expect(ensureSimulatedTransducer(empty.database, transducer).activeCalibrationId).toBeNull();
    expect(useBuiltInCalibration(empty.database, builtIn).id).toBe(builtIn.id);
    expect(listOwnTransducers(empty.database)).toMatchObject([{ activeCalibrationId: builtIn.id }]);
  });

  it('waits for a guided calibration of a transducer that both benches have', async () => {
    const { taker, maker } = await makerAndTaker();
    const run = {
      id: 'run-1',
      transducerId: seedBench(taker.database).id,
      amplifierId: null,
      isSimulated: true,
      setup: demoSetup(2),
      readings: planRun(demoSetup(2), { arm: [24.5, 49], shortArm: [] }),
      operator: '',
      startedAt: at,
    };
    insertRun(maker.database, run);
    insertRunEvent(maker.database, 'run-1', { kind: 'accepted', reason: '', operator: '', at });
    insertCalibration(maker.database, calibration({ id: 'calibration-2', runId: 'run-1' }), {
      reason: 'New.',
    });
    insertRun(taker.database, { ...run, id: 'run-here' });
    const file = await maker.write('with-run.zip');
    expect((await taker.preview(file)).conflicts.join(' ')).toContain('is open here. End or discard it');
    expect((await refusalOf(taker.takeIn(file))).code).toBe('package-conflict');
    insertRunEvent(taker.database, 'run-here', { kind: 'discarded', reason: 'Bent.', operator: '', at });
    await taker.takeIn(file);
    expect(getRun(taker.database, 'run-1').state).toBe('accepted');
  });
});

function importOf(taker: PackageBench, file: string, fingerprint: string) {
  return {
    databasePath: `${taker.folder}/proofarm.db`,
    file,
    fileName: 'first.zip',
    fingerprint,
    importId: 'import-x',
    at: '2026-04-03T10:00:00.000Z',
    operator: '',
  };
}

describe('the bench while a package is taken in', () => {
  it('refuses what a trial or a guided run would begin, and names what it waits for', () => {
    const runClaim = createRunClaim();
    const guards = createBenchGuards({
      runClaim,
      runner: { state: () => ({ phase: 'idle' }) },
      senseWatch: { isWatching: () => false },
      ringingWatch: { isWatching: () => false },
      zeroWatch: { isWatching: () => false },
    } as never);
    runClaim.hold('import');
    expect(() => {
      guards.refuseWhileBusy('Starting a trial');
    }).toThrow('until the data package is taken in');
    // A run that ends does not let go of what it does not hold.
    runClaim.release();
    expect(runClaim.isHeld()).toBe(true);
    runClaim.release('import');
    expect(() => {
      guards.refuseWhileBusy('Starting a trial');
    }).not.toThrow();
  });
});
