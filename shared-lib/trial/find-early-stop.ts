import type { Step } from './step-model.ts';
import type { Measure } from './trial-model.ts';
import { runIndices, type TrialRun } from './trial-run.ts';

/** Torque counts as gone under this share of the sustained torque (ours). */
const GONE_SHARE = 0.5;
/** A trigger let go this little before the planned time is the end of the run, not an early stop (ours). */
const ALLOWED_S = 0.25;

/**
 * When, in seconds after onset, torque fell under half of the sustained torque and did not come back within the planned
 * time; null where it did not, or only in the last 250 ms. A rig that holds the torque hides a stop, so none is found there.
 */
export function findEarlyStopS(run: TrialRun, sustainedNm: number): number | null {
  const { first, end } = runIndices(run);
  let hasFallen = false;
  for (let i = end - 1; i >= first; i -= 1) {
    const torqueNm = run.measuringNm[i] ?? Number.NaN;
    if (torqueNm < GONE_SHARE * sustainedNm) {
      hasFallen = true;
    } else if (torqueNm >= GONE_SHARE * sustainedNm) {
      const stopS = (i - run.onsetIndex) / run.sampleRateHz;
      return hasFallen && run.plannedS - stopS > ALLOWED_S ? stopS : null;
    }
  }
  return null;
}

/** The early stop of a pull as its step has it; null too where no torque was sustained. */
export function findEarlyStopOfStep(run: TrialRun, _step: Step, sustained: Measure): number | null {
  return 'refused' in sustained ? null : findEarlyStopS(run, sustained.value);
}
