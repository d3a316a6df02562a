import type { CheckMeans, DailyCheck } from '../../../shared-lib/calibration/daily-check-model.ts';
import { formatSignificant } from '../../../shared-lib/format-significant.ts';
import { type Capture, judgeSteadiness, steadinessSentence } from '../steadiness.ts';
import { totalMassKg } from './check-means.ts';

/** Where the check stands: what was read so far decides what is asked for next. */
export type CheckStep =
  | { readonly kind: 'zero' }
  | { readonly kind: 'load'; readonly zero: Capture }
  /** Read, but not steady: nothing is judged before somebody has said that it may be. */
  | { readonly kind: 'held'; readonly zero: Capture; readonly load: Capture; readonly why: string }
  | { readonly kind: 'done'; readonly check: DailyCheck };

/** A converter that shows its zero without any noise still counts in whole steps. */
const LEAST_SPREAD_COUNTS = 2;

/** Why a pair of readings should not be judged as it is; null: it may. */
export function whyHeld(zero: Capture, load: Capture): string | null {
  const deflection = load.meanCounts - zero.meanCounts;
  // While a load is being put on, the reading spreads over as much as it has moved, which is something else than no load.
  const restSpread = Math.max(2 * zero.spreadCounts, LEAST_SPREAD_COUNTS);
  if (Math.abs(deflection) <= restSpread && load.spreadCounts <= restSpread) {
    return 'This reading is hardly another than the zero. Is the load on? Put it on and read it again.';
  }
  const isLoadSteady = judgeSteadiness(load.spreadCounts, deflection) === 'steady';
  const isZeroSteady = judgeSteadiness(zero.spreadCounts, deflection) === 'steady';
  if (isLoadSteady && isZeroSteady) return null;
  return isLoadSteady
    ? 'The zero was not steady, so the error would be that of the zero. Begin again with the zero.'
    : steadinessSentence(load, deflection);
}

export interface StepWords {
  readonly title: string;
  readonly instruction: string;
  readonly action: string;
}

/** What to do now, in a sentence, and what the one button will do. */
export function stepWords(step: CheckStep, means: CheckMeans): StepWords {
  const isShunt = means.kind === 'shunt';
  switch (step.kind) {
    case 'zero':
      return {
        title: 'Zero',
        instruction: isShunt
          ? 'Nothing loads the transducer and the shunt is off.'
          : 'The arm is on and nothing hangs from it. Wait until it is still.',
        action: 'Read the zero',
      };
    case 'load':
    case 'held':
      return {
        title: isShunt ? 'Shunt' : 'Weight',
        instruction: isShunt
          ? 'Switch the shunt on and touch nothing else.'
          : `Hang ${formatSignificant(totalMassKg(means.weights), 'kg')} from the arm, ${means.sense}. Wait until it hangs still.`,
        action: step.kind === 'load' ? 'Read it and judge' : 'Read it again and judge',
      };
    case 'done':
      return { title: 'Done', instruction: '', action: 'Check once more' };
  }
}

export function afterwardsWords({ verdict, means }: Pick<DailyCheck, 'verdict' | 'means'>): string {
  switch (verdict) {
    case 'passed':
      return means.kind === 'shunt'
        ? 'Bridge and amplifier read as they did. The shunt does not check the arm and the mounting: use a weight for those now and then. Switch the shunt off.'
        : 'The bench reads right. Take the weight off and the arm down, and take a new zero on the Bench.';
    case 'failed':
      return 'Do not trust the readings of this bench until the reason is found. Look at: the right weight and arm, the arm level, nothing touching it, mounting and cables, the amplifier’s range. Then check once more; if it fails again, calibrate anew.';
    case 'reference':
      return 'It is the first shunt reading under this calibration. Later ones are judged against it, so make sure that the bench reads right today: check it with a weight too.';
  }
}
