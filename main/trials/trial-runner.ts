import { assertNever } from '../../shared-lib/assert-never.ts';
import type { SoundCue } from '../../shared-lib/bench-status.ts';
import {
  createLiveOnsetDetector,
  type LiveOnsetDetector,
} from '../../shared-lib/trial/live-onset-detector.ts';
import { reduceTrial } from '../../shared-lib/trial/reduce-trial.ts';
import type { TrialEffect, TrialEvent } from '../../shared-lib/trial/trial-events.ts';
import {
  initialTrialState,
  PRE_TRIGGER_S,
  type RecordingOutcome,
  type TrialState,
} from '../../shared-lib/trial/trial-state.ts';
import type { AcquisitionService, LiveSamples } from '../acquisition/acquisition-service.ts';
import type { LiveFault } from '../amplifier/amplifier-session.ts';
import type { Clock } from '../platform/clock.ts';
import type { Logger } from '../platform/logger.ts';
import type { ArmedTrial } from './armed-trial.ts';
import { measureRest } from './measure-rest.ts';
import type { TrialRecorder } from './trial-recorder.ts';

export interface TrialRunnerListeners {
  onChange(state: TrialState): void;
  onCue(cue: SoundCue): void;
  onOperatorMayStart(armed: ArmedTrial): void;
  onOverload(torqueNm: number): void;
  onAbort(reason: string): void;
}

export interface TrialRunner {
  state(): TrialState;
  arm(armed: ArmedTrial): void;
  stop(): void;
  receive(samples: LiveSamples): void;
  noteFault(fault: LiveFault): void;
  amplifierLost(): void;
  tick(): void;
  decisionStored(event: Omit<Extract<TrialEvent, { type: 'decisionStored' }>, 'type'>): void;
  benchChanged(): void;
  endForShutdown(): void;
}

/** Performs what the reducer asks for and reports back what came of it. */
export function createTrialRunner(
  tools: {
    readonly clock: Clock;
    readonly log: Logger;
    readonly acquisition: Pick<AcquisitionService, 'blocksFrom'>;
    readonly recorder: TrialRecorder;
  },
  listeners: TrialRunnerListeners,
): TrialRunner {
  const { clock, log, acquisition, recorder } = tools;
  let state: TrialState = initialTrialState;
  let armed: ArmedTrial | null = null;
  let segment: number | null = null;
  let detector: LiveOnsetDetector | null = null;
  let wrongWayDetector: LiveOnsetDetector | null = null;
  const queue: TrialEvent[] = [];
  let isDraining = false;

  const directionSign = (): 1 | -1 => (armed?.plan.step.direction === 'reverse' ? -1 : 1);

  const startDetector = (sign: 1 | -1): LiveOnsetDetector | null =>
    armed &&
    createLiveOnsetDetector({
      levelNm: armed.conditions.onsetLevelNm,
      nominalRateHz: armed.conditions.profile.nominalRateHz,
      directionSign: sign,
    });

  const dispatch = (event: TrialEvent): void => {
    queue.push(event);
    if (isDraining) return;
    isDraining = true;
    try {
      for (let next = queue.shift(); next; next = queue.shift()) {
        const before = state;
        const transition = reduceTrial(state, next);
        state = transition.state;
        for (const effect of transition.effects) perform(effect);
        if (state !== before) listeners.onChange(state);
      }
    } finally {
      isDraining = false;
    }
  };

  const storing = (work: () => void): void => {
    try {
      work();
    } catch (cause) {
      log.error('Measured data could not be written', { code: 'storage-failed', cause });
      recorder.abandon();
      dispatch({ type: 'persistFailed' });
    }
  };

  const perform = (effect: TrialEffect): void => {
    switch (effect.type) {
      case 'soundCue':
        listeners.onCue({ cue: effect.cue, direction: armed?.plan.step.direction ?? null });
        return;
      case 'watchForOnset':
        detector = startDetector(directionSign());
        return;
      case 'operatorMayStart':
        if (armed) listeners.onOperatorMayStart(armed);
        return;
      case 'beginRecord':
        storing(() => {
          beginRecord(effect.onsetSlot);
        });
        return;
      case 'storeNewSamples':
        storing(() => {
          recorder.append(
            acquisition.blocksFrom(recorder.nextSlot()).filter((block) => block.firstSlot < effect.untilSlot),
          );
        });
        return;
      case 'finishRecord':
        storing(() => {
          finishRecord(effect.outcome, effect.zeroAfterCounts);
        });
        return;
      case 'logAbort':
        listeners.onAbort(effect.reason);
        return;
      default:
        assertNever(effect, 'An effect that nobody performs');
    }
  };

  const beginRecord = (onsetSlot: number): void => {
    if (!armed) throw new Error('A record begins without an armed trial');
    const firstSlot = Math.max(0, Math.floor(onsetSlot - PRE_TRIGGER_S * armed.sampleRateHz));
    recorder.begin(armed, onsetSlot, acquisition.blocksFrom(firstSlot));
    wrongWayDetector = startDetector(directionSign() === 1 ? -1 : 1);
  };

  const finishRecord = (outcome: RecordingOutcome, zeroAfterCounts: number | null): void => {
    const finished = recorder.finish(outcome, zeroAfterCounts);
    if (finished.kind === 'interrupted') {
      dispatch({ type: 'interruptionStored', sentence: finished.sentence });
    } else {
      dispatch({ type: 'trialStored', quality: finished.figures.quality, figures: finished.figures });
    }
  };

  const watchOverload = (torqueNm: Float64Array, overloadNm: number): void => {
    let greatest = 0;
    for (const value of torqueNm) if (Math.abs(value) > greatest) greatest = Math.abs(value);
    if (greatest <= overloadNm) return;
    listeners.onOverload(greatest);
    dispatch({ type: 'overloadSeen', torqueNm: greatest });
  };

  const watchTorque = (firstSlot: number, torqueNm: Float64Array): void => {
    if (!armed) return;
    switch (state.phase) {
      case 'countdown':
        if (detector?.push(firstSlot, torqueNm)) dispatch({ type: 'earlyTorqueSeen' });
        return;
      case 'waiting': {
        const found = detector?.push(firstSlot, torqueNm) ?? null;
        if (!found) return;
        if ('wrongDirection' in found) dispatch({ type: 'wrongDirectionSeen' });
        else {
          dispatch({
            type: 'onsetFound',
            onsetSlot: found.onsetSlot,
            sampleRateHz: armed.sampleRateHz,
            nowUs: clock.monotonicUs(),
          });
        }
        return;
      }
      case 'run': {
        const found = wrongWayDetector?.push(firstSlot, torqueNm) ?? null;
        if (found && 'onsetSlot' in found) dispatch({ type: 'wrongDirectionSeen' });
        return;
      }
      case 'unloading': {
        const rest = measureRest(acquisition, firstSlot + torqueNm.length, armed);
        if (rest !== null) dispatch({ type: 'restMeasured', zeroCounts: rest });
        return;
      }
      default:
    }
  };

  const isUnderWay = (): boolean =>
    ['countdown', 'waiting', 'run', 'tail', 'unloading'].includes(state.phase) && armed !== null;

  return {
    state: () => state,

    arm(next) {
      const previous = armed;
      armed = next;
      try {
        dispatch({ type: 'armRequested', plan: next.plan, nowUs: clock.monotonicUs() });
      } catch (refusal) {
        armed = previous;
        throw refusal;
      }
      segment = null;
      detector = startDetector(directionSign());
      wrongWayDetector = null;
    },

    stop() {
      dispatch({ type: 'stopRequested' });
    },

    receive({ block, torqueNm }) {
      if (!isUnderWay() || !armed) return;
      segment ??= block.segment;
      if (block.segment !== segment) {
        dispatch({ type: 'segmentBroken' });
        return;
      }
      if (!torqueNm) return;
      watchOverload(torqueNm, armed.overloadNm);
      watchTorque(block.firstSlot, torqueNm);
      if (state.phase === 'run' || state.phase === 'tail') {
        dispatch({
          type: 'samplesReceived',
          lastSlot: block.firstSlot + block.counts.length - 1,
          nowUs: clock.monotonicUs(),
        });
      }
    },

    noteFault(fault) {
      if (state.phase !== 'run' && state.phase !== 'tail') return;
      storing(() => {
        recorder.noteFault(fault);
      });
    },

    amplifierLost() {
      dispatch({ type: 'amplifierLost' });
    },

    tick() {
      dispatch({ type: 'clockTicked', nowUs: clock.monotonicUs() });
    },

    decisionStored(event) {
      dispatch({ type: 'decisionStored', ...event });
    },

    benchChanged() {
      dispatch({ type: 'benchChanged' });
    },

    endForShutdown() {
      dispatch({ type: 'programEnding' });
    },
  };
}
