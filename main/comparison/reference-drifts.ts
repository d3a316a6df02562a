import type { Comparison } from '../../shared-lib/comparison/comparison-model.ts';
import { referenceDriftsOf } from '../../shared-lib/comparison/reference-drifts.ts';
import type { QualityGate } from '../../shared-lib/run-sheet/session-model.ts';
import { createContenderLookup } from '../storage/contender-repository.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import { listScores, scoreOf } from '../storage/scored-trials.ts';

/** How the reference tool drifted in each of these sessions. */
export function referenceDrifts(
  database: ReadableDatabase,
  sessionIds: readonly string[],
  gate: QualityGate,
): Comparison['referenceDrift'] {
  const pulls = listScores(database, createContenderLookup(database), { sessionIds, role: 'reference' });
  return referenceDriftsOf(pulls, sessionIds, gate, {
    sustainedTorqueNm: (score) => scoreOf(score, { figure: 'sustainedTorque' }),
    millisecondsOf: Date.parse,
  });
}
