import { isDeepStrictEqual } from 'node:util';
import type { ReadableDatabase } from '../storage/database.ts';
import { getTrial } from '../storage/trial-repository.ts';
import type { TrialRunner } from './trial-runner.ts';

/** Where the kept trial in sight is this one, and another calibration or definition has read it since: with its figures of now. */
export function showAsReadNow(
  runner: Pick<TrialRunner, 'state' | 'measuredAnew'>,
  database: ReadableDatabase,
  trialId: string,
): void {
  const shown = runner.state();
  if (shown.phase !== 'kept' || shown.trialId !== trialId) return;
  const { figures } = getTrial(database, trialId);
  if (figures !== null && !isDeepStrictEqual(figures, shown.figures))
    runner.measuredAnew({ trialId, figures });
}
