import { assertNever } from '../assert-never.ts';
import type { Step } from './step-model.ts';
import type { InterruptionReason, Quality, TrialFigures } from './trial-model.ts';

/** Times of the trial that are the same for every kind; seconds. */
export const COUNTDOWN_S = 3.5;
export const ONSET_TIMEOUT_S = 30;
export const PRE_TRIGGER_S = 1;
export const TAIL_S = 1;
/** A rig that releases settles by itself; one that holds waits for the operator to take the load off. */
export const UNLOADING_TIMEOUT_S = { releases: 4, holds: 60 } as const;
/** Samples that stay away this long past the planned end will not come; the trial goes on with what there is. */
export const SAMPLE_WAIT_S = 2;
/** An amplifier may be this much slower than it was taken for, which tells after an hour; more is a fault of its own. */
export const SLOW_SHARE = 0.02;
/** As much faster, which would end the record of an hour seconds too early. */
export const FAST_SHARE = 0.02;
/** By so much the host's clock may lag behind the onset, which is found in samples that have come. */
export const ONSET_FOUND_LATE_S = 0.25;

export type RigUnloading = keyof typeof UNLOADING_TIMEOUT_S;

export interface TrialPlan {
  readonly trialId: string;
  readonly step: Step;
  readonly rigUnloading: RigUnloading;
}

/** How a recording ended: as planned, or cut short. */
export type RecordingOutcome = 'complete' | InterruptionReason;

interface Recording extends TrialPlan {
  readonly onsetSlot: number;
  readonly sampleRateHz: number;
  readonly beganUs: number;
}

export type TrialState =
  | { readonly phase: 'idle'; readonly lastProblem: string | null }
  | (TrialPlan & { readonly phase: 'countdown'; readonly beganUs: number; readonly secondsLeft: number })
  | (TrialPlan & { readonly phase: 'waiting'; readonly beganUs: number })
  | (Recording & { readonly phase: 'run' })
  | (Recording & { readonly phase: 'tail'; readonly runEndedUs: number })
  | (Recording & { readonly phase: 'unloading'; readonly unloadingBeganUs: number })
  | (Recording & {
      readonly phase: 'saving';
      readonly outcome: RecordingOutcome;
      readonly zeroAfterCounts: number | null;
    })
  | (TrialPlan & { readonly phase: 'reviewing'; readonly onsetSlot: number; readonly quality: Quality })
  | (TrialPlan & {
      readonly phase: 'kept';
      readonly onsetSlot: number;
      readonly isVoided: boolean;
      readonly figures: TrialFigures;
    })
  | (TrialPlan & {
      readonly phase: 'interrupted';
      readonly onsetSlot: number;
      readonly reason: InterruptionReason;
      readonly sentence: string;
    });

export type TrialPhase = TrialState['phase'];

/** From arming until storage has confirmed what became of it. */
export function isUnderWay(phase: TrialPhase): boolean {
  switch (phase) {
    case 'countdown':
    case 'waiting':
    case 'run':
    case 'tail':
    case 'unloading':
    case 'saving':
      return true;
    case 'idle':
    case 'reviewing':
    case 'kept':
    case 'interrupted':
      return false;
    default:
      return assertNever(phase, 'A phase that is neither under way nor over');
  }
}

export const initialTrialState: TrialState = { phase: 'idle', lastProblem: null };
