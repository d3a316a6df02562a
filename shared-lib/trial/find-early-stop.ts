import { goneShare } from './kind-rules.ts';
import type { Step } from './step-model.ts';
import type { Measure } from './trial-model.ts';
import { runIndices, type TrialRun } from './trial-run.ts';

/** A trigger let go this little before the planned time is the end of the run, not an early stop (ours). */
const ALLOWED_S = 0.25;

/**
 * When, in seconds after onset, torque fell under a share of the sustained torque (half of it unless said otherwise) and did not come back within the planned
 * time; null where it did not, or only in the last 250 ms. A rig that holds the torque hides a stop, so none is found there.
 */
export function findEarlyStopS(run: TrialRun, sustainedNm: number, share = 0.5): number | null {
  const { first, end } = runIndices(run);
  let hasFallen = false;
  for (let i = end - 1; i >= first; i -= 1) {
    const torqueNm = run.measuringNm[i] ?? Number.NaN;
    if (torqueNm < share * sustainedNm) {
      hasFallen = true;
    } else if (torqueNm >= share * sustainedNm) {
      const stopS = (i - run.onsetIndex) / run.sampleRateHz;
      return hasFallen && run.plannedS - stopS > ALLOWED_S ? stopS : null;
    }
  }
  return null;
}

/**
 * The early stop of a pull: torque under half of the sustained torque, for kind endurance under a tenth of it; kind
 * breakaway has none. Null too where no torque was sustained.
 */
export function findEarlyStopOfStep(run: TrialRun, { kind }: Step, sustained: Measure): number | null {
  const share = goneShare(kind);
  if (share === null || 'refused' in sustained) return null;
  return findEarlyStopS(run, sustained.value, share);
}
