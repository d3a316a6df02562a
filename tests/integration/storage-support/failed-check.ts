import { insertCheck } from '../../../main/storage/check-repository.ts';
import type { WritableDatabase } from '../../../main/storage/database.ts';
import { decideSuspects } from '../../../main/storage/suspicion-repository.ts';
import { calibrationId } from './bench-fixture.ts';
import { markOf } from './mark-of.ts';

const operator = 'Demo operator';
export const AFTER_ALL_TRIALS = '2026-12-01T09:00:00.000Z';

/** A shunt reading of the simulated bench of the fixture. */
export function checkAt(database: WritableDatabase, at: string, verdict: 'failed' | 'passed'): number {
  return insertCheck(database, {
    transducerId: 'transducer-demo',
    calibrationId,
    at,
    operator,
    means: { kind: 'shunt' },
    zeroCounts: 0,
    readingCounts: 4000,
    referenceNm: 98,
    readingNm: verdict === 'failed' ? 120 : 98,
    errorNm: verdict === 'failed' ? 22 : 0,
    limitNm: 0.4,
    verdict,
    reasons: [],
  }).id;
}

/** Under the failed check that marks the trial now. */
export function decideAbout(
  database: WritableDatabase,
  trialId: string,
  decision: 'usable' | 'excluded',
): void {
  decideSuspects(
    database,
    { trialIds: [trialId], checkId: markOf(database, trialId) },
    { decision, reason: 'The bar had slipped (demo).', operator, at: '2026-12-01T10:00:00.000Z' },
  );
}
