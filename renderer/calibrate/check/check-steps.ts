import type { CheckLoad, CheckMeans, DailyCheck } from '../../../shared-lib/calibration/daily-check-model.ts';
import { formatLevelTorque } from '../../../shared-lib/calibration/run-instructions.ts';
import { isFailureOpen } from '../../../shared-lib/calibration/read-check.ts';
import { hasCautions } from '../../../shared-lib/calibration/words/check-words.ts';
import { formatSignificant } from '../../../shared-lib/format-significant.ts';
import { type Capture, judgeSteadiness, steadinessSentence } from '../steadiness.ts';
import { totalMassKg } from './check-means.ts';

/** What is read of a check. */
export interface CheckPair {
  readonly zero: Capture;
  readonly load: Capture;
  /** It is to be a new reference of the shunt, and why; null: it is to be judged. */
  readonly newReferenceReason: string | null;
}

/** Read, but not steady: nothing is stored before somebody has said that it may be. */
export interface HeldStep extends CheckPair {
  readonly kind: 'held';
  readonly why: string;
}

/** Where the check stands: what was read so far decides what is asked for next. */
export type CheckStep =
  | { readonly kind: 'zero' }
  | { readonly kind: 'load'; readonly zero: Capture }
  | HeldStep
  | { readonly kind: 'done'; readonly check: DailyCheck };

/** What another reading of the load makes; what it was to be for stays until the check is begun again. */
export function pairAfter(step: Extract<CheckStep, { kind: 'load' | 'held' }>, load: Capture): CheckPair {
  return { zero: step.zero, load, newReferenceReason: step.kind === 'held' ? step.newReferenceReason : null };
}

/** Null: it may be stored as it is. */
export function heldStep(pair: CheckPair): HeldStep | null {
  const why = whyHeld(pair.zero, pair.load);
  return why === null ? null : { kind: 'held', ...pair, why };
}

/**
 * Whether a reading of the shunt may take the place of its reference: `none`: there is no reference yet; `afterWeight`: refused
 * while a failure stands.
 */
export type NewReference = 'none' | 'free' | 'afterWeight';

/** `checks`: all under the calibration in use, newest first. */
export function newReferenceUnder(checks: readonly DailyCheck[]): NewReference {
  if (!checks.some(({ verdict }) => verdict === 'reference')) return 'none';
  return isFailureOpen(checks) ? 'afterWeight' : 'free';
}

/** A converter that shows its zero without any noise still counts in whole steps. */
const LEAST_SPREAD_COUNTS = 2;

/** Why a pair of readings should not be judged as it is; null: it may. */
export function whyHeld(zero: Capture, load: Capture): string | null {
  const deflection = load.meanCounts - zero.meanCounts;
  // While a load is being put on, the reading spreads over as much as it has moved, which is something else than no load.
  const restSpread = Math.max(2 * zero.spreadCounts, LEAST_SPREAD_COUNTS);
  if (Math.abs(deflection) <= restSpread && load.spreadCounts <= restSpread) {
    return 'This reading is hardly another than the zero. Put the load on, or switch the shunt on, and read it again.';
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

/** What to do now, in a sentence, and what the one button will do. The zero and the load go by what the reference counts. */
export function stepWords(step: CheckStep, means: CheckMeans, load: LoadAsked): StepWords {
  switch (step.kind) {
    case 'zero':
      return { title: 'Zero', instruction: zeroWords(means, load), action: 'Read the zero' };
    case 'load':
      return { ...loadHead(means, load), action: 'Read it and judge' };
    case 'held':
      return { ...loadHead(means, load), action: heldWords(step).again };
    case 'done':
      return { title: 'Done', instruction: '', action: 'Check once more' };
  }
}

function loadHead(means: CheckMeans, load: LoadAsked): Pick<StepWords, 'title' | 'instruction'> {
  return { title: means.kind === 'shunt' ? 'Shunt' : 'Weight', instruction: loadWords(means, load) };
}

export interface HeldWords {
  readonly lead: string;
  readonly again: string;
  /** Though it is not steady. */
  readonly anyway: string;
}

/** What is not done yet with a reading that is held, and what can be. */
export function heldWords({ newReferenceReason }: Pick<HeldStep, 'newReferenceReason'>): HeldWords {
  return newReferenceReason === null
    ? { lead: 'Not judged yet.', again: 'Read it again and judge', anyway: 'Judge it as it is' }
    : {
        lead: 'Not taken as the new reference yet.',
        again: 'Read it again as the new reference',
        anyway: 'Take it as it is',
      };
}

type LoadAsked = Pick<CheckLoad, 'way' | 'torqueNm'>;

function zeroWords(means: CheckMeans, { way }: LoadAsked): string {
  if (means.kind === 'shunt') return 'Nothing loads the transducer and the shunt is off.';
  if (way === 'loadCell') return 'Nothing hangs from the hanger. Wait until it is still.';
  // Its own moment counts in the torque, so the zero is read without it.
  return means.arm.own === null
    ? 'The arm is on and nothing hangs from it. Wait until it is still.'
    : 'Take everything off, the arm too. Wait until the transducer is still.';
}

function loadWords(means: CheckMeans, { way, torqueNm }: LoadAsked): string {
  if (means.kind === 'shunt') return 'Switch the shunt on and touch nothing else.';
  const mass = formatSignificant(totalMassKg(means.weights), 'kg');
  const torque = torqueNm === null ? '' : `: ${formatLevelTorque(torqueNm)}`;
  const hang =
    way === 'loadCell'
      ? `Hang ${mass} from the hanger`
      : means.arm.own === null
        ? `Hang ${mass} from the arm`
        : `Put the arm on and hang ${mass} from it`;
  return `${hang}, ${means.sense}${torque}. Wait until it hangs still.`;
}

export function afterwardsWords(
  check: Pick<DailyCheck, 'verdict' | 'means' | 'reasons'>,
  way: CheckLoad['way'],
): string {
  const isShunt = check.means.kind === 'shunt';
  switch (check.verdict) {
    case 'passed':
      return isShunt
        ? 'Bridge and amplifier read as they did. The shunt does not check the arm and the mounting: use a weight for those now and then. Switch the shunt off.'
        : `${hasCautions(check) ? 'It reads what it should, as far as the cautions here leave that open.' : 'The bench reads right.'} ${
            way === 'loadCell' ? 'Take the weight off' : 'Take the weight off and the arm down'
          }, and take a new zero on the Bench.`;
    case 'failed':
      return isShunt
        ? 'Do not trust the readings of this bench until the reason is found. Look at: the shunt really on, nothing on the transducer, cables, the amplifier’s range. Then check once more, and with a weight; if that fails too, calibrate anew. Where the shunt is another one or its reference was read wrong, a check with a weight has to pass first; then take the reading as a new reference.'
        : `Do not trust the readings of this bench until the reason is found. Look at: the right weight and arm, ${way === 'loadCell' ? 'the hanger free' : 'the arm level'}, nothing touching it, mounting and cables, the amplifier’s range. Then check once more; if it fails again, calibrate anew.`;
    case 'reference':
      return 'Later shunt readings under this calibration are judged against it, so make sure that the bench reads right today: check it with a weight too.';
  }
}

/** Usual reasons (common practice, no source); anything else goes into own words. */
export const usualReferenceReasons: readonly string[] = [
  'The reference was read wrong: the shunt was not on, or something loaded the transducer',
  'Another shunt resistor or another setting of the amplifier’s shunt',
];
