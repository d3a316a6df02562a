import { afterEach, describe, expect, it } from 'vitest';
import type { DailyCheck } from '../../shared-lib/calibration/daily-check-model.ts';
import { insertCheck } from '../../main/storage/check-repository.ts';
import { decideSuspects, listSuspectTrialIds } from '../../main/storage/suspicion-repository.ts';
import { listTransducers } from '../../main/storage/transducer-repository.ts';
import { everyRow } from './package-support/every-row.ts';
import { createPackageBench, type PackageBench } from './package-support/package-bench.ts';
import { smallBench } from './package-support/package-parts.ts';
import { calibrationId, storeTrial } from './storage-support/bench-fixture.ts';
import { markOf } from './storage-support/mark-of.ts';

const TRANSDUCER = 'transducer-demo';
const benches: PackageBench[] = [];
const at = (minute: number): string => new Date(Date.UTC(2026, 2, 5) + minute * 60_000).toISOString();

afterEach(() => {
  for (const bench of benches.splice(0)) bench.remove();
});

async function benchOfMonday(): Promise<PackageBench> {
  const bench = await smallBench();
  benches.push(bench);
  pull(bench, 0);
  check(bench, 1, 'passed');
  return bench;
}

function check({ database }: PackageBench, minute: number, verdict: DailyCheck['verdict']): number {
  return insertCheck(database, {
    transducerId: TRANSDUCER,
    calibrationId,
    at: at(minute),
    operator: 'Demo operator',
    means: { kind: 'shunt' },
    zeroCounts: 0,
    readingCounts: 1,
    referenceNm: 98,
    readingNm: 98.5,
    errorNm: 0.5,
    limitNm: 0.4,
    verdict,
    reasons: [],
  }).id;
}

function pull({ database }: PackageBench, minute: number): string {
  const transducer = listTransducers(database).find(({ id }) => id === TRANSDUCER);
  if (transducer === undefined) throw new Error('The bench has no transducer');
  return storeTrial(database, transducer, 'kept', { id: `trial-at-${minute}`, startedAt: at(minute) });
}

function decide({ database }: PackageBench, trialId: string, decision: 'usable' | 'excluded'): void {
  decideSuspects(
    database,
    { trialIds: [trialId], checkId: markOf(database, trialId) },
    { decision, reason: 'The arm had slipped (demo).', operator: 'Demo operator', at: at(900) },
  );
}

const trialIdsOf = ({ database }: PackageBench): string[] =>
  database.prepare<[], string>(`SELECT id FROM trial WHERE id LIKE 'trial-at-%' ORDER BY id`).pluck().all();
const decisionsOf = ({ database }: PackageBench): unknown[] =>
  database.prepare('SELECT trial_id, decision FROM suspicion_decision').all();

/** On Tuesday one trial is left out after a failed check, one is found usable, on one nobody decides, and one is pulled after a pass. */
function pullOnTuesday(bench: PackageBench): void {
  const [excluded, usable] = [pull(bench, 2), pull(bench, 3), pull(bench, 4)];
  check(bench, 5, 'failed');
  decide(bench, excluded, 'excluded');
  decide(bench, usable, 'usable');
  check(bench, 6, 'passed');
  pull(bench, 7);
}

const heldBack =
  '2 trials that are not here do not come in: failed daily checks cast doubt on them that are not taken in either, and without these they would count as good ones.';
const withoutDecision =
  '1 new trial comes in without what was decided about it after a failed daily check, since that check is not taken in.';

describe('trials that a failed check casts doubt on, in a package whose check is not taken in', () => {
  it('stay out of the bench that restored a backup of before, and are counted', async () => {
    const lost = await benchOfMonday();
    pullOnTuesday(lost);
    const restored = await benchOfMonday();
    const file = await lost.write('wednesday.zip');
    const { trials, remarks } = await restored.preview(file);
    expect(trials.newCount).toBe(2);
    expect(remarks).toContainEqual(
      `${heldBack} Only the bench that a calibration came from adds checks to it, and what is of this bench comes back with a backup alone: Setup, Backups.`,
    );
    expect(remarks).toContainEqual(
      expect.stringContaining('It says more about 1 entry than is here; that is not taken in.'),
    );
    expect(remarks).toContainEqual(withoutDecision);
    // Of what is here the calibration alone: to it the checks belong.
    expect((await restored.takeIn(file)).sentence).toBe(
      `2 trials taken in. 3 trials of the package were here already. What it says besides about 1 entry that was here was not taken in. ${heldBack} ${withoutDecision}`,
    );
    // The one found usable, and the one after the pass.
    expect(trialIdsOf(restored)).toEqual(['trial-at-0', 'trial-at-3', 'trial-at-7']);
    expect(listSuspectTrialIds(restored.database, TRANSDUCER)).toEqual([]);
    expect(decisionsOf(restored)).toEqual([]);
  });

  it('do not come in a second time either, and nothing is left of them', async () => {
    const lost = await benchOfMonday();
    pullOnTuesday(lost);
    const restored = await benchOfMonday();
    const file = await lost.write('wednesday.zip');
    await restored.takeIn(file);
    const before = everyRow(restored.database, ['import']);
    // By now the one found usable is here as well as the calibration.
    expect((await restored.takeIn(file)).sentence).toBe(
      `Nothing new. 5 trials of the package were here already. What it says besides about 2 entries that were here was not taken in. ${heldBack}`,
    );
    expect(everyRow(restored.database, ['import'])).toBe(before);
    const ofTrials = restored.database
      .prepare<[], string>(
        'SELECT trial_id FROM raw_block UNION SELECT trial_id FROM trial_evaluation UNION SELECT trial_id FROM trial_decision',
      )
      .pluck()
      .all();
    expect(ofTrials.filter((id) => /trial-at-[24]$/.test(id))).toEqual([]);
  });

  it('are left out alone where the check was made up: none of what is here becomes suspect', async () => {
    const own = await benchOfMonday();
    const forger = await benchOfMonday();
    for (const bench of [own, forger]) pull(bench, 2);
    check(forger, 8, 'failed');
    decide(forger, 'trial-at-2', 'excluded');
    const before = everyRow(own.database, ['import']);
    await own.takeIn(await forger.write('forged.zip'));
    expect(everyRow(own.database, ['import'])).toBe(before);
  });

  it('come in with their decisions where the check does', async () => {
    const maker = await benchOfMonday();
    pullOnTuesday(maker);
    const other = createPackageBench({ id: 'bench-b', name: 'Bench B' });
    benches.push(other);
    const file = await maker.write('wednesday.zip');
    expect((await other.preview(file)).remarks.join(' ')).not.toContain('do not come in');
    await other.takeIn(file);
    expect(trialIdsOf(other)).toEqual(trialIdsOf(maker));
    expect(listSuspectTrialIds(other.database, TRANSDUCER)).toEqual(['trial-at-4']);
    expect(decisionsOf(other)).toHaveLength(2);
  });

  it('stay out of a package that a third bench made, until their own bench sends the check', async () => {
    const maker = await benchOfMonday();
    const third = createPackageBench({ id: 'bench-c', name: 'Bench C' });
    const here = createPackageBench({ id: 'bench-b', name: 'Bench B' });
    benches.push(third, here);
    await here.takeIn(await maker.write('monday.zip'));
    pullOnTuesday(maker);
    const ofMaker = await maker.write('wednesday.zip');
    await third.takeIn(ofMaker);
    const passedOn = await third.write('passed-on.zip');
    const { remarks } = await here.preview(passedOn);
    expect(remarks.join(' ')).toContain('2 trials that are not here do not come in');
    await here.takeIn(passedOn);
    expect(trialIdsOf(here)).toEqual(['trial-at-0', 'trial-at-3', 'trial-at-7']);
    await here.takeIn(ofMaker);
    expect(trialIdsOf(here)).toEqual(trialIdsOf(maker));
    expect(listSuspectTrialIds(here.database, TRANSDUCER)).toEqual(['trial-at-4']);
  });
});
