import { assertNever } from '../../shared-lib/assert-never.ts';
import type { SoundCue } from '../../shared-lib/bench-status.ts';
import { farthestFromZero } from '../../shared-lib/signal/farthest-from-zero.ts';
import { meanOfPresent } from '../../shared-lib/signal/mean-of-present.ts';
import {
  createLiveOnsetDetector,
  hasBegunBeforeGo,
  type LiveOnsetDetector,
} from '../../shared-lib/trial/live-onset-detector.ts';
import {
  goneShare,
  hasWrongDirection,
  mayBeLoadedAtStart,
  overAfterStopS,
  unloadingAfter,
} from '../../shared-lib/trial/kind-rules.ts';
import { leastPreloadNm } from '../../shared-lib/trial/find-onset.ts';
import { createLiveStopWatch, type LiveStopWatch } from '../../shared-lib/trial/live-stop-watch.ts';
import { reduceTrial } from '../../shared-lib/trial/reduce-trial.ts';
import type { TrialEffect, TrialEvent } from '../../shared-lib/trial/trial-events.ts';
import { directionSign } from '../../shared-lib/trial/trial-run.ts';
import {
  COUNTDOWN_S,
  initialTrialState,
  isUnderWay,
  PRE_TRIGGER_S,
  type TrialState,
} from '../../shared-lib/trial/trial-state.ts';
import type { AcquisitionService, LiveSamples } from '../acquisition/acquisition-service.ts';
import type { LiveFault } from '../amplifier/live-fault.ts';
import type { Clock } from '../platform/clock.ts';
import type { ArmedTrial } from './armed-trial.ts';
import { measureRest } from './measure-rest.ts';
import { measureStandingNm } from './measure-standing.ts';
import { createSamplesWaiting } from './samples-waiting.ts';
import type { FinishedRecord, TrialRecorder } from './trial-recorder.ts';

export interface TrialRunnerListeners {
  onChange(state: TrialState): void;
  onCue(cue: SoundCue): void;
  /** The countdown begins: time to lay hands on the tool, and for a breakaway to have tightened the fastener. */
  onOperatorMayPrepare(armed: ArmedTrial): void;
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
  amplifierLost(reason: 'disconnect' | 'readerLost'): void;
  /** What came of the record, however much later. */
  recordFinished(finished: FinishedRecord): void;
  recordFailed(failure: 'recordNotBegun' | 'persistFailed'): void;
  tick(): void;
  decisionStored(event: Omit<Extract<TrialEvent, { type: 'decisionStored' }>, 'type'>): void;
  measuredAnew(event: Omit<Extract<TrialEvent, { type: 'measuredAnew' }>, 'type'>): void;
  benchChanged(): void;
  endForShutdown(): void;
}

/** Longer than what of a record lies before the instant at which its onset is found. */
const FAULT_MEMORY_S = 5;
/** The preload is looked at so long before the go: without one there is nothing to go for. */
const PRELOAD_LOOK_S = 0.2;
/** A press on stop ends the run as its planned end would, once the tool has been still for this long. */
const STILL_S = 0.5;

/** Performs what the reducer asks for and reports back what came of it. */
export function createTrialRunner(
  tools: {
    readonly clock: Clock;
    readonly acquisition: Pick<AcquisitionService, 'blocksFrom' | 'lastSlot'>;
    readonly recorder: TrialRecorder;
    /** Faults that last, for a record that begins with them. */
    readonly standingFaults: () => readonly LiveFault[];
  },
  listeners: TrialRunnerListeners,
): TrialRunner {
  const { clock, acquisition, recorder } = tools;
  let state: TrialState = initialTrialState;
  let armed: ArmedTrial | null = null;
  let segment: number | null = null;
  let detector: LiveOnsetDetector | null = null;
  let wrongWayDetector: LiveOnsetDetector | null = null;
  let isOverloadTold = false;
  /** Those of the last seconds before onset, each with a slot: the record begins before its onset. */
  let faultsBeforeOnset: LiveFault[] = [];
  let stopWatch: LiveStopWatch | null = null;
  /** The first slot that came after the go. */
  let goSlot = 0;
  /** Positive forward: what stood before a breakaway, and is taken off what its detector sees. */
  let standingNm = 0;
  /** Torque of the newest block of the run: what a rig that holds goes on holding. */
  let runTorqueNm = 0;
  const samplesWaiting = createSamplesWaiting(clock.monotonicUs());
  const queue: TrialEvent[] = [];
  let isDraining = false;

  const startDetector = ({ conditions, plan }: ArmedTrial): LiveOnsetDetector =>
    createLiveOnsetDetector({
      levelNm: conditions.onsetLevelNm,
      nominalRateHz: conditions.profile.nominalRateHz,
      directionSign: directionSign(plan.step.direction),
      isOneWay: !hasWrongDirection(plan.step.kind),
    });

  const startWrongWayDetector = ({ conditions, plan }: ArmedTrial): LiveOnsetDetector =>
    createLiveOnsetDetector({
      levelNm: conditions.onsetLevelNm,
      nominalRateHz: conditions.profile.nominalRateHz,
      directionSign: directionSign(plan.step.direction) === 1 ? -1 : 1,
      isOneWay: true,
    });

  const startStopWatch = ({ plan, sampleRateHz }: ArmedTrial): LiveStopWatch | null => {
    const share = goneShare(plan.step.kind);
    if (share === null || overAfterStopS(plan.step.kind) === null) return null;
    return createLiveStopWatch({ share, sampleRateHz, directionSign: directionSign(plan.step.direction) });
  };

  /** What stood before stays taken for standing where too much is lost to tell. */
  const takeStanding = (next: ArmedTrial): void => {
    if (mayBeLoadedAtStart(next.plan.step.kind)) {
      standingNm = measureStandingNm(acquisition, next) ?? standingNm;
    }
  };

  const lookForPreload = (looked: ArmedTrial): void => {
    const foundNm = measureStandingNm(acquisition, looked);
    const againstNm = foundNm === null ? null : -directionSign(looked.plan.step.direction) * foundNm;
    const leastNm = leastPreloadNm(looked.conditions.onsetLevelNm);
    if (againstNm !== null && againstNm >= leastNm) return;
    dispatch({ type: 'preloadMissing', standingNm: againstNm, leastNm });
  };

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

  const perform = (effect: TrialEffect): void => {
    switch (effect.type) {
      case 'soundCue':
        listeners.onCue({ cue: effect.cue, direction: armed?.plan.step.direction ?? null });
        return;
      case 'watchForOnset':
        goSlot = (acquisition.lastSlot() ?? -1) + 1;
        // A preload may be brought up until the go. Everywhere else the detector of the count goes on: a new one would not see
        // that a torque had begun before, and find another onset than the whole record has.
        if (armed && mayBeLoadedAtStart(armed.plan.step.kind)) {
          takeStanding(armed);
          detector = startDetector(armed);
        }
        return;
      case 'operatorMayStart':
        if (armed) listeners.onOperatorMayStart(armed);
        return;
      case 'beginRecord':
        beginRecord(effect.onsetSlot);
        return;
      case 'storeNewSamples':
        recorder.append(
          acquisition.blocksFrom(recorder.nextSlot()).filter((block) => block.firstSlot < effect.untilSlot),
        );
        return;
      case 'finishRecord':
        recorder.finish(effect.outcome, effect.zeroAfterCounts);
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
    const inRecord = faultsBeforeOnset.filter(
      (known) => known.segment === segment && known.slot !== null && known.slot >= firstSlot,
    );
    // Of what the amplifier tells of itself each flag is a fault of its own.
    const isInRecord = ({ kind, sentence }: LiveFault): boolean =>
      inRecord.some((known) => known.kind === kind && (kind !== 'deviceFlag' || known.sentence === sentence));
    const lasting = tools.standingFaults().filter((fault) => !isInRecord(fault));
    faultsBeforeOnset = [];
    recorder.begin(armed, onsetSlot, acquisition.blocksFrom(firstSlot), [...lasting, ...inRecord]);
    wrongWayDetector = hasWrongDirection(armed.plan.step.kind) ? startWrongWayDetector(armed) : null;
    stopWatch = startStopWatch(armed);
  };

  const watchOverload = (torqueNm: Float64Array, overloadNm: number): void => {
    const greatest = Math.abs(farthestFromZero(torqueNm));
    // Once a trial: a load that stays on while the rig is unloaded is one overload, not fifty a second.
    if (greatest <= overloadNm || isOverloadTold) return;
    isOverloadTold = true;
    listeners.onOverload(greatest);
    dispatch({ type: 'overloadSeen', torqueNm: greatest });
  };

  const movedTorque = (torqueNm: Float64Array): Float64Array =>
    standingNm === 0 ? torqueNm : torqueNm.map((value) => value - standingNm);

  const watchTorque = (firstSlot: number, torqueNm: Float64Array): void => {
    if (!armed) return;
    switch (state.phase) {
      case 'countdown':
        if (detector?.push(firstSlot, movedTorque(torqueNm))) dispatch({ type: 'earlyTorqueSeen' });
        return;
      case 'waiting': {
        const found = detector?.push(firstSlot, movedTorque(torqueNm)) ?? null;
        if (!found) return;
        if ('wrongDirection' in found) dispatch({ type: 'wrongDirectionSeen' });
        else if (hasBegunBeforeGo(found.onsetSlot, goSlot, armed.conditions.profile.nominalRateHz)) {
          dispatch({ type: 'earlyTorqueSeen' });
        } else {
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
        runTorqueNm = meanOfPresent(torqueNm) ?? runTorqueNm;
        const found = wrongWayDetector?.push(firstSlot, torqueNm) ?? null;
        if (found && 'onsetSlot' in found) dispatch({ type: 'wrongDirectionSeen' });
        stopWatch?.push(torqueNm);
        const overS = overAfterStopS(armed.plan.step.kind);
        if (stopWatch && overS !== null && stopWatch.goneS() >= overS) torqueGone();
        return;
      }
      case 'unloading': {
        const rest = measureRest(acquisition, firstSlot + torqueNm.length, armed, runTorqueNm);
        if (rest !== null) dispatch({ type: 'restMeasured', zeroCounts: rest });
        return;
      }
      default:
    }
  };

  const torqueGone = (): void => {
    dispatch({ type: 'torqueGone', nowUs: clock.monotonicUs() });
  };

  const isRecording = (): boolean => state.phase === 'run' || state.phase === 'tail';

  const keepBeforeOnset = (fault: LiveFault): void => {
    if (!armed) return;
    const slot = fault.slot ?? (acquisition.lastSlot() ?? -1) + 1;
    const oldest = slot - FAULT_MEMORY_S * armed.sampleRateHz;
    faultsBeforeOnset = faultsBeforeOnset.filter((known) => (known.slot ?? 0) >= oldest);
    faultsBeforeOnset.push({ ...fault, slot });
  };

  return {
    state: () => state,

    arm(asked) {
      const { plan } = asked;
      const next: ArmedTrial = {
        ...asked,
        plan: { ...plan, rigUnloading: unloadingAfter(plan.step.kind, plan.rigUnloading) },
      };
      const previous = armed;
      armed = next;
      try {
        dispatch({ type: 'armRequested', plan: next.plan, nowUs: clock.monotonicUs() });
      } catch (refusal) {
        armed = previous;
        throw refusal;
      }
      segment = null;
      standingNm = 0;
      takeStanding(next);
      detector = startDetector(next);
      wrongWayDetector = null;
      stopWatch = null;
      isOverloadTold = false;
      faultsBeforeOnset = [];
      runTorqueNm = 0;
      listeners.onOperatorMayPrepare(next);
    },

    stop() {
      if (state.phase === 'run' && stopWatch && stopWatch.goneS() >= STILL_S) torqueGone();
      else dispatch({ type: 'stopRequested', nowUs: clock.monotonicUs() });
    },

    receive({ block, torqueNm }) {
      if (!armed || !isUnderWay(state.phase)) return;
      samplesWaiting.noteArrival(block.arrivalUs);
      segment ??= block.segment;
      if (block.segment !== segment) {
        dispatch({ type: 'segmentBroken' });
        return;
      }
      // First of all stored: what ends a run, an overload above all, belongs to its record.
      if (isRecording()) {
        dispatch({
          type: 'samplesReceived',
          lastSlot: block.firstSlot + block.counts.length - 1,
          nowUs: clock.monotonicUs(),
        });
      }
      if (!torqueNm) return;
      watchOverload(torqueNm, armed.overloadNm);
      watchTorque(block.firstSlot, torqueNm);
    },

    noteFault(live) {
      const isOfAnotherSegment = live.slot !== null && segment !== null && live.segment !== segment;
      // Slots of another segment lie on another axis. What ends this one is part of the trial, what follows is not.
      if (isOfAnotherSegment && live.kind !== 'segmentBreak') return;
      const fault = isOfAnotherSegment ? { ...live, slot: null } : live;
      if (state.phase === 'countdown' || state.phase === 'waiting') keepBeforeOnset(fault);
      if (isRecording()) recorder.noteFault(fault);
      // The record is whole, but what happens until the rest says why its zero was measured, or was not. A fault without
      // a slot gets one after the record's end, so that nobody takes it for a fault of the samples.
      if (state.phase === 'unloading') {
        const sinceS = (clock.monotonicUs() - state.unloadingBeganUs) / 1e6;
        const slot = fault.slot ?? recorder.nextSlot() + Math.ceil(sinceS * state.sampleRateHz);
        recorder.noteFault({ ...fault, slot });
      }
    },

    amplifierLost(reason) {
      dispatch({ type: 'amplifierLost', reason });
    },

    recordFinished(finished) {
      if (finished.kind === 'interrupted') {
        dispatch({ type: 'interruptionStored', sentence: finished.sentence });
      } else {
        dispatch({ type: 'trialStored', quality: finished.figures.quality, figures: finished.figures });
      }
    },

    recordFailed(failure) {
      dispatch({ type: failure });
    },

    tick() {
      const nowUs = clock.monotonicUs();
      if (samplesWaiting.areWaiting(nowUs) && (isRecording() || state.phase === 'waiting')) return;
      if (armed && state.phase === 'countdown' && mayBeLoadedAtStart(state.step.kind)) {
        if ((nowUs - state.beganUs) / 1e6 >= COUNTDOWN_S - PRELOAD_LOOK_S) lookForPreload(armed);
      }
      dispatch({ type: 'clockTicked', nowUs });
    },

    decisionStored(event) {
      dispatch({ type: 'decisionStored', ...event });
    },

    measuredAnew(event) {
      dispatch({ type: 'measuredAnew', ...event });
    },

    benchChanged() {
      dispatch({ type: 'benchChanged' });
    },

    endForShutdown() {
      dispatch({ type: 'programEnding' });
    },
  };
}
