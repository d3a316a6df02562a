import type { SoundCue } from '../bench-status.ts';
import type { Quality, TrialDecision, TrialFigures } from './trial-model.ts';
import type { RecordingOutcome, TrialPlan } from './trial-state.ts';

/** What can happen to a trial. Commands come from the operator and may be refused; the rest is reported by the bench. */
export type TrialEvent =
  | { readonly type: 'armRequested'; readonly plan: TrialPlan; readonly nowUs: number }
  | { readonly type: 'stopRequested'; readonly nowUs: number }
  | { readonly type: 'clockTicked'; readonly nowUs: number }
  /** `lastSlot`: the newest slot of the live segment. */
  | { readonly type: 'samplesReceived'; readonly lastSlot: number; readonly nowUs: number }
  | {
      readonly type: 'onsetFound';
      readonly onsetSlot: number;
      readonly sampleRateHz: number;
      readonly nowUs: number;
    }
  /** Torque over the onset level while the count was still running; it may show only after the go. */
  | { readonly type: 'earlyTorqueSeen' }
  | { readonly type: 'wrongDirectionSeen' }
  /** Breakaway, just before the go. `standingNm`: against the step; null: too many samples are lost to know. */
  | { readonly type: 'preloadMissing'; readonly standingNm: number | null; readonly leastNm: number }
  /** The tool has stopped for so long that a trial of its kind is over. */
  | { readonly type: 'torqueGone'; readonly nowUs: number }
  | { readonly type: 'overloadSeen'; readonly torqueNm: number }
  | { readonly type: 'amplifierLost'; readonly reason: 'disconnect' | 'readerLost' }
  | { readonly type: 'segmentBroken' }
  | { readonly type: 'restMeasured'; readonly zeroCounts: number }
  /** The very first write failed, be it long after the run has ended: there is no record. */
  | { readonly type: 'recordNotBegun' }
  | { readonly type: 'persistFailed' }
  | { readonly type: 'trialStored'; readonly quality: Quality; readonly figures: TrialFigures }
  | { readonly type: 'interruptionStored'; readonly sentence: string }
  | {
      readonly type: 'decisionStored';
      readonly trialId: string;
      readonly decision: TrialDecision['decision'];
      readonly figures: TrialFigures | null;
    }
  /** A kept trial is read otherwise than before: by another calibration, or by a newer definition. */
  | { readonly type: 'measuredAnew'; readonly trialId: string; readonly figures: TrialFigures }
  /** Another amplifier or transducer: what is over is no longer shown on this bench. */
  | { readonly type: 'benchChanged' }
  | { readonly type: 'programEnding' };

/** What the reducer wants done; trial-runner.ts does it and reports back as events. */
export type TrialEffect =
  | { readonly type: 'soundCue'; readonly cue: SoundCue['cue'] }
  | { readonly type: 'watchForOnset' }
  | { readonly type: 'operatorMayStart' }
  | { readonly type: 'beginRecord'; readonly onsetSlot: number }
  | { readonly type: 'storeNewSamples'; readonly untilSlot: number }
  | {
      readonly type: 'finishRecord';
      readonly outcome: RecordingOutcome;
      readonly zeroAfterCounts: number | null;
    }
  /** An abort before onset makes no trial; it is logged. */
  | { readonly type: 'logAbort'; readonly reason: string };
