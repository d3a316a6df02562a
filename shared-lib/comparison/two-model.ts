import type { TorquesAtInstant } from './checkpoints.ts';
import type { ComparedTrial, Comparison, Side } from './comparison-model.ts';
import type { KnownDayToDay } from './day-to-day.ts';
import type { TrialScales } from './scale-difference.ts';

/** What goes into the comparison of two contenders, and what comes out: see compareTwo. */
export interface WordsOfTwo {
  /** Labels. */
  readonly a: string;
  readonly b: string;
  /** "sustained torque". */
  readonly what: string;
  /** A value, and a difference of two, in the unit of the measure. */
  format(value: number): string;
  formatDifference(value: number): string;
}

export interface TwoInput {
  /** Keys. */
  readonly a: string;
  readonly b: string;
  /** A's, B's and the other setups' of the same step and bench; those with `leftOutBecause` null take part. */
  readonly trials: readonly ComparedTrial[];
  readonly better: 'more' | 'less';
  readonly marginPercent: number;
  /** 0.975 where an early look was planned. */
  readonly confidence: 0.95 | 0.975;
  readonly plannedRounds: { readonly a: number | null; readonly b: number | null };
  readonly dayToDay: KnownDayToDay | null;
  readonly isLikeForLike: boolean;
  /** Of the compared measure; none where it does not scale with the torque, or all is read by one calibration. */
  readonly scales?: TrialScales | null;
  /** Of the torques at the checkpoints. */
  readonly torqueScales?: TrialScales | null;
  /** Torques, whatever is compared. */
  readonly checkpoints: readonly TorquesAtInstant[];
  readonly words: WordsOfTwo;
}

export type SideFigures = Pick<
  Side,
  'count' | 'noValueCount' | 'mean' | 'scatter' | 'sessionCount' | 'doneRounds'
>;

export interface TwoResult extends Pick<
  Comparison,
  | 'verdict'
  | 'isProvisional'
  | 'sentence'
  | 'cautions'
  | 'isAcrossSessions'
  | 'confidence'
  | 'ratio'
  | 'levelInterval'
  | 'difference'
  | 'standardErrorLn'
  | 'degreesOfFreedom'
  | 'scatter'
  | 'dayToDay'
  | 'effectSize'
  | 'permutationP'
  | 'roundsToDecide'
  | 'checkpoints'
  | 'leadStartsAtS'
> {
  readonly a: SideFigures;
  readonly b: SideFigures;
}
