import { AppError } from '../app-error.ts';
import { assertNever } from '../assert-never.ts';
import {
  earlyTorqueSentence,
  noOnsetSentence,
  overloadSentence,
  preloadMissingSentence,
  wrongDirectionSentence,
} from './abort-sentences.ts';
import { hasWrongDirection, overAfterStopS } from './kind-rules.ts';
import type { InterruptionReason } from './trial-model.ts';
import type { TrialEffect, TrialEvent } from './trial-events.ts';
import {
  COUNTDOWN_S,
  FAST_SHARE,
  ONSET_FOUND_LATE_S,
  ONSET_TIMEOUT_S,
  SAMPLE_WAIT_S,
  SLOW_SHARE,
  TAIL_S,
  UNLOADING_TIMEOUT_S,
  type TrialState,
} from './trial-state.ts';

export interface TrialTransition {
  readonly state: TrialState;
  readonly effects: readonly TrialEffect[];
}

type StateIn<Phase extends TrialState['phase']> = Extract<TrialState, { phase: Phase }>;
type BeforeOnset = StateIn<'countdown' | 'waiting'>;
type UnderWay = StateIn<'run' | 'tail' | 'unloading'>;

/**
 * The trial as a pure function of what happened. Time and samples are events; what must be done comes out as effects.
 *
 * Before onset an abort goes back to idle and makes no trial. After it, what was recorded is kept as interrupted.
 * `kept` and `reviewing` are entered only when storage has confirmed.
 *
 * Errors: AppError 'invalid-state' for a command that does not fit; reports that do not fit are ignored.
 */
export function reduceTrial(state: TrialState, event: TrialEvent): TrialTransition {
  switch (event.type) {
    case 'armRequested':
      return arm(state, event);
    case 'stopRequested':
      return stop(state, event.nowUs);
    default:
  }
  switch (state.phase) {
    case 'countdown':
      return inCountdown(state, event);
    case 'waiting':
      return inWaiting(state, event);
    case 'run':
    case 'tail':
      return whileRecording(state, event);
    case 'unloading':
      return inUnloading(state, event);
    case 'saving':
      return inSaving(state, event);
    case 'reviewing':
    case 'kept':
    case 'interrupted':
      return whenDecided(state, event);
    case 'idle':
      return stay(state);
    default:
      return assertNever(state, 'A trial phase without a rule');
  }
}

function stay(state: TrialState): TrialTransition {
  return { state, effects: [] };
}

function arm(state: TrialState, event: Extract<TrialEvent, { type: 'armRequested' }>): TrialTransition {
  switch (state.phase) {
    case 'idle':
    case 'kept':
    case 'interrupted':
      return {
        state: {
          ...event.plan,
          phase: 'countdown',
          beganUs: event.nowUs,
          secondsLeft: Math.ceil(COUNTDOWN_S),
        },
        effects: [{ type: 'soundCue', cue: 'arm' }],
      };
    case 'reviewing':
      throw new AppError(
        'invalid-state',
        'The last trial is still to be decided. Keep it or void it, then start the next one.',
      );
    default:
      throw new AppError('invalid-state', 'A trial is already under way; nothing was changed.');
  }
}

function stop(state: TrialState, nowUs: number): TrialTransition {
  switch (state.phase) {
    case 'countdown':
    case 'waiting':
      return abort(state, 'Stopped by the operator before the torque began. No trial was made.');
    case 'run':
      return interrupt(state, 'operator');
    case 'tail':
      // The run is whole, so it is measured; only its tail is shorter.
      return unload(state, nowUs, []);
    case 'unloading':
      // The run is whole; the operator goes on without the zero check, and the quality says so.
      return save(state, 'complete', null);
    default:
      throw new AppError('invalid-state', 'No trial is under way, so there is nothing to stop.');
  }
}

function abort(state: BeforeOnset, reason: string): TrialTransition {
  return {
    state: { phase: 'idle', lastProblem: reason },
    effects: [
      { type: 'soundCue', cue: 'fault' },
      { type: 'logAbort', reason: `${state.step.toolName}, ${state.step.direction}: ${reason}` },
    ],
  };
}

function save(
  state: UnderWay,
  outcome: StateIn<'saving'>['outcome'],
  zeroAfterCounts: number | null,
): TrialTransition {
  const { trialId, step, rigUnloading, onsetSlot, sampleRateHz, beganUs } = state;
  return {
    state: {
      phase: 'saving',
      trialId,
      step,
      rigUnloading,
      onsetSlot,
      sampleRateHz,
      beganUs,
      outcome,
      zeroAfterCounts,
    },
    effects: [{ type: 'finishRecord', outcome, zeroAfterCounts }],
  };
}

function interrupt(state: UnderWay, reason: InterruptionReason): TrialTransition {
  const { state: saving, effects } = save(state, reason, null);
  return { state: saving, effects: [{ type: 'soundCue', cue: 'fault' }, ...effects] };
}

/** Aborts that need no more than the event itself, before onset. */
function abortBeforeOnset(state: BeforeOnset, event: TrialEvent): TrialTransition | null {
  switch (event.type) {
    case 'overloadSeen':
      return abort(state, overloadSentence(event.torqueNm));
    case 'amplifierLost':
      return abort(state, 'The amplifier was lost before the torque began. No trial was made.');
    case 'segmentBroken':
      return abort(state, 'The amplifier started anew before the torque began. No trial was made.');
    case 'preloadMissing':
      return abort(state, preloadMissingSentence(state.step, event));
    case 'programEnding':
      return abort(state, 'The program ended before the torque began. No trial was made.');
    default:
      return null;
  }
}

function inCountdown(state: StateIn<'countdown'>, event: TrialEvent): TrialTransition {
  const aborted = abortBeforeOnset(state, event);
  if (aborted) return aborted;
  if (event.type === 'earlyTorqueSeen') {
    return abort(state, earlyTorqueSentence(state.step));
  }
  if (event.type !== 'clockTicked') return stay(state);
  const leftS = COUNTDOWN_S - (event.nowUs - state.beganUs) / 1e6;
  if (leftS <= 0) {
    const { trialId, step, rigUnloading } = state;
    return {
      state: { phase: 'waiting', trialId, step, rigUnloading, beganUs: event.nowUs },
      effects: [{ type: 'watchForOnset' }, { type: 'soundCue', cue: 'go' }, { type: 'operatorMayStart' }],
    };
  }
  const secondsLeft = Math.ceil(leftS);
  if (secondsLeft === state.secondsLeft) return stay(state);
  return { state: { ...state, secondsLeft }, effects: [{ type: 'soundCue', cue: 'count' }] };
}

function inWaiting(state: StateIn<'waiting'>, event: TrialEvent): TrialTransition {
  const aborted = abortBeforeOnset(state, event);
  if (aborted) return aborted;
  switch (event.type) {
    case 'onsetFound':
      return {
        state: {
          phase: 'run',
          trialId: state.trialId,
          step: state.step,
          rigUnloading: state.rigUnloading,
          onsetSlot: event.onsetSlot,
          sampleRateHz: event.sampleRateHz,
          beganUs: event.nowUs,
        },
        effects: [{ type: 'beginRecord', onsetSlot: event.onsetSlot }],
      };
    case 'earlyTorqueSeen':
      return abort(state, earlyTorqueSentence(state.step));
    case 'wrongDirectionSeen':
      if (!hasWrongDirection(state.step.kind)) return stay(state);
      return abort(state, wrongDirectionSentence(state.step));
    case 'clockTicked':
      return (event.nowUs - state.beganUs) / 1e6 >= ONSET_TIMEOUT_S
        ? abort(state, noOnsetSentence(state.step))
        : stay(state);
    default:
      return stay(state);
  }
}

/** The slot at which the record ends: the tail belongs to it, the centred window needs its samples. */
function lastSlotOfRecord(state: UnderWay): number {
  return Math.ceil(state.onsetSlot + (state.step.plannedS + TAIL_S) * state.sampleRateHz);
}

function whileRecording(state: StateIn<'run' | 'tail'>, event: TrialEvent): TrialTransition {
  switch (event.type) {
    case 'overloadSeen':
      return interrupt(state, 'overload');
    case 'amplifierLost':
      return interrupt(state, event.reason);
    case 'segmentBroken':
      return interrupt(state, 'segmentBreak');
    case 'programEnding':
      return interrupt(state, 'programEnded');
    case 'wrongDirectionSeen':
      return state.phase === 'run' && hasWrongDirection(state.step.kind)
        ? interrupt(state, 'wrongDirection')
        : stay(state);
    case 'torqueGone':
      return state.phase === 'run' && overAfterStopS(state.step.kind) !== null
        ? unload(state, event.nowUs, [{ type: 'soundCue', cue: 'stop' }])
        : stay(state);
    case 'recordNotBegun':
      return recordNotBegun();
    case 'persistFailed':
      return persistFailed(state);
    case 'samplesReceived':
      return recordSamples(state, event.lastSlot, event.nowUs);
    case 'clockTicked': {
      const dueS = state.step.plannedS * (1 + SLOW_SHARE) + TAIL_S + SAMPLE_WAIT_S;
      if ((event.nowUs - state.beganUs) / 1e6 < dueS) return stay(state);
      return unload(state, event.nowUs, state.phase === 'run' ? [{ type: 'soundCue', cue: 'stop' }] : []);
    }
    default:
      return stay(state);
  }
}

/**
 * Whether so many seconds since onset have passed by the samples, but not yet by the host's clock: the amplifier has become faster than it
 * was when the trial was armed, and its samples alone would end a long run too early.
 */
function isAhead(afterS: number, state: UnderWay, lastSlot: number, nowUs: number): boolean {
  const hostS = (nowUs - state.beganUs) / 1e6;
  const samplesS = (lastSlot - state.onsetSlot) / state.sampleRateHz;
  return samplesS >= afterS && samplesS < afterS * (1 + FAST_SHARE) && hostS < afterS - ONSET_FOUND_LATE_S;
}

function recordSamples(state: StateIn<'run' | 'tail'>, lastSlot: number, nowUs: number): TrialTransition {
  const { plannedS } = state.step;
  const isRecordAhead = isAhead(plannedS + TAIL_S, state, lastSlot, nowUs);
  const recordEnd = lastSlotOfRecord(state);
  const untilSlot = isRecordAhead ? lastSlot : recordEnd;
  const effects: TrialEffect[] = [{ type: 'storeNewSamples', untilSlot }];
  const runEnd = state.onsetSlot + plannedS * state.sampleRateHz;
  let next = state;
  if (next.phase === 'run' && lastSlot >= runEnd && !isAhead(plannedS, state, lastSlot, nowUs)) {
    effects.push({ type: 'soundCue', cue: 'stop' });
    next = { ...next, phase: 'tail', runEndedUs: nowUs };
  }
  return lastSlot >= recordEnd && !isRecordAhead ? unload(next, nowUs, effects) : { state: next, effects };
}

function unload(
  state: StateIn<'run' | 'tail'>,
  nowUs: number,
  effects: readonly TrialEffect[],
): TrialTransition {
  const { trialId, step, rigUnloading, onsetSlot, sampleRateHz, beganUs } = state;
  return {
    state: {
      phase: 'unloading',
      trialId,
      step,
      rigUnloading,
      onsetSlot,
      sampleRateHz,
      beganUs,
      unloadingBeganUs: nowUs,
    },
    effects,
  };
}

function inUnloading(state: StateIn<'unloading'>, event: TrialEvent): TrialTransition {
  switch (event.type) {
    case 'restMeasured':
      return save(state, 'complete', event.zeroCounts);
    // The record is whole by now: what happens here costs the zero check, not the trial.
    case 'amplifierLost':
    case 'segmentBroken':
    case 'programEnding':
      return save(state, 'complete', null);
    case 'recordNotBegun':
      return recordNotBegun();
    case 'persistFailed':
      return persistFailed(state);
    case 'clockTicked':
      return (event.nowUs - state.unloadingBeganUs) / 1e6 >= UNLOADING_TIMEOUT_S[state.rigUnloading]
        ? save(state, 'complete', null)
        : stay(state);
    default:
      return stay(state);
  }
}

/** There is no trial yet that could be kept or voided; it comes as an interrupted one as soon as it can be written. */
function recordNotBegun(): TrialTransition {
  const lastProblem =
    'The samples could not be stored, so the recording was stopped. Release the trigger, make space or check the disk, then repeat the run. What was measured waits in memory; leave the program running, and it is kept as an interrupted trial once it can be written.';
  return { state: { phase: 'idle', lastProblem }, effects: [{ type: 'soundCue', cue: 'fault' }] };
}

/** Nothing more is written: what is on disk already is offered as interrupted, now and after a restart. */
function persistFailed(state: UnderWay | StateIn<'saving'>): TrialTransition {
  return {
    state: {
      phase: 'interrupted',
      trialId: state.trialId,
      step: state.step,
      rigUnloading: state.rigUnloading,
      onsetSlot: state.onsetSlot,
      reason: 'storageFailed',
      sentence:
        'The samples could not be written any more, so the recording was stopped. What was stored up to then is safe. Make space or check the disk, then repeat.',
    },
    effects: [{ type: 'soundCue', cue: 'fault' }],
  };
}

function inSaving(state: StateIn<'saving'>, event: TrialEvent): TrialTransition {
  const { trialId, step, rigUnloading, onsetSlot, outcome } = state;
  switch (event.type) {
    case 'trialStored':
      return event.quality.verdict === 'good'
        ? stay({
            phase: 'kept',
            trialId,
            step,
            rigUnloading,
            onsetSlot,
            isVoided: false,
            figures: event.figures,
          })
        : stay({ phase: 'reviewing', trialId, step, rigUnloading, onsetSlot, quality: event.quality });
    case 'interruptionStored':
      if (outcome === 'complete') return stay(state);
      return stay({
        phase: 'interrupted',
        trialId,
        step,
        rigUnloading,
        onsetSlot,
        reason: outcome,
        sentence: event.sentence,
      });
    case 'recordNotBegun':
      return recordNotBegun();
    case 'persistFailed':
      return persistFailed(state);
    default:
      return stay(state);
  }
}

function whenDecided(
  state: StateIn<'reviewing' | 'kept' | 'interrupted'>,
  event: TrialEvent,
): TrialTransition {
  if (event.type === 'benchChanged') {
    return state.phase === 'reviewing' ? stay(state) : stay({ phase: 'idle', lastProblem: null });
  }
  if (event.type === 'measuredAnew') {
    const isShown = state.phase === 'kept' && event.trialId === state.trialId;
    return stay(isShown ? { ...state, figures: event.figures } : state);
  }
  if (event.type !== 'decisionStored' || event.trialId !== state.trialId) return stay(state);
  const { trialId, step, rigUnloading, onsetSlot } = state;
  switch (event.decision) {
    case 'interrupted':
      return stay(state);
    case 'kept':
    case 'restored':
    case 'voided': {
      const isVoided = event.decision === 'voided';
      // What was voided unseen stays so.
      if (event.figures === null || (isVoided && state.phase !== 'kept')) {
        return stay({ phase: 'idle', lastProblem: null });
      }
      return stay({
        phase: 'kept',
        trialId,
        step,
        rigUnloading,
        onsetSlot,
        isVoided,
        figures: event.figures,
      });
    }
    default:
      return assertNever(event.decision, 'A decision without a rule');
  }
}
