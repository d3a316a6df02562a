import { assertNever } from '../../shared-lib/assert-never.ts';
import type { TrialView } from '../../shared-lib/bench-status.ts';
import { COUNTDOWN_S, type TrialState } from '../../shared-lib/trial/trial-state.ts';

/** The trial as a window may show it. Figures appear only once it is kept. */
export function viewOfTrial(state: TrialState): TrialView {
  switch (state.phase) {
    case 'idle':
      return { phase: 'idle', lastProblem: state.lastProblem };
    case 'countdown':
      return {
        phase: 'countdown',
        step: state.step,
        secondsLeft: Math.min(Math.floor(COUNTDOWN_S), state.secondsLeft),
      };
    case 'waiting':
      return { phase: 'waiting', step: state.step };
    case 'run':
    case 'tail':
      return {
        phase: state.phase,
        step: state.step,
        trialId: state.trialId,
        onsetSlot: state.onsetSlot,
      };
    case 'unloading':
      return {
        phase: 'unloading',
        step: state.step,
        trialId: state.trialId,
        prompt:
          state.rigUnloading === 'holds'
            ? 'Take the load off the transducer, so that the zero can be checked.'
            : 'Keep the tool off the transducer while the zero is checked.',
      };
    case 'saving':
      return { phase: 'saving', step: state.step, trialId: state.trialId };
    case 'reviewing':
      return { phase: 'reviewing', step: state.step, trialId: state.trialId, quality: state.quality };
    case 'kept':
      return {
        phase: 'kept',
        step: state.step,
        trialId: state.trialId,
        isVoided: state.isVoided,
        figures: state.figures,
      };
    case 'interrupted':
      return {
        phase: 'interrupted',
        step: state.step,
        trialId: state.trialId,
        reason: state.reason,
        sentence: state.sentence,
      };
    default:
      return assertNever(state, 'A phase without a view');
  }
}
