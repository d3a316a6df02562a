import type { ReadableDatabase } from '../../../main/storage/database.ts';
import { getTrial } from '../../../main/storage/trial-repository.ts';

/** The failed check that marks a trial now. */
export function markOf(database: ReadableDatabase, trialId: string): number {
  const { suspicion } = getTrial(database, trialId).summary;
  if (suspicion === null) throw new Error(`No failed check marks ${trialId}`);
  return suspicion.checkId;
}
