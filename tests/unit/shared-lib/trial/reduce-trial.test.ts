import { describe, expect, it } from 'vitest';
import { AppError } from '../../../../shared-lib/app-error.ts';
import { reduceTrial } from '../../../../shared-lib/trial/reduce-trial.ts';
import type { Kind } from '../../../../shared-lib/trial/step-model.ts';
import type { TrialEvent } from '../../../../shared-lib/trial/trial-events.ts';
import type { Quality, TrialFigures } from '../../../../shared-lib/trial/trial-model.ts';
import {
  initialTrialState,
  type TrialPhase,
  type TrialPlan,
  type TrialState,
} from '../../../../shared-lib/trial/trial-state.ts';
import { otherFigures } from '../../../helpers/trial-defaults.ts';

const SECOND = 1e6;
const plan: TrialPlan = {
  trialId: 'trial-1',
  step: { toolName: 'Hollin H5', kind: 'tighten', direction: 'forward', plannedS: 5 },
  rigUnloading: 'releases',
};
const recording = { ...plan, onsetSlot: 1000, sampleRateHz: 100, beganUs: 100 * SECOND };
const good: Quality = { verdict: 'good', reasons: [] };
const look: Quality = {
  verdict: 'look',
  reasons: [{ code: 'zero-shift', severity: 'look', sentence: 'The zero moved by 9 N·m.' }],
};
const figures: TrialFigures = {
  definitionVersion: 1,
  calibrationId: 'calibration-1',
  sampleRateHz: 100,
  windowS: 0.11,
  onsetLevelNm: 10,
  onsetS: 1,
  sustainedTorqueNm: { value: 400 },
  finalTorqueNm: { value: 398 },
  torqueAt: [],
  timeToLevel: [],
  timeTo90PercentS: { value: 1.2 },
  highestReadingNm: { value: 450 },
  ...otherFigures,
  quality: good,
};

const states: { readonly [Phase in TrialPhase]: Extract<TrialState, { phase: Phase }> } = {
  idle: { phase: 'idle', lastProblem: null },
  countdown: { ...plan, phase: 'countdown', beganUs: 100 * SECOND, secondsLeft: 4 },
  waiting: { ...plan, phase: 'waiting', beganUs: 100 * SECOND },
  run: { ...recording, phase: 'run' },
  tail: { ...recording, phase: 'tail', runEndedUs: 105 * SECOND },
  unloading: { ...recording, phase: 'unloading', unloadingBeganUs: 106 * SECOND },
  saving: { ...recording, phase: 'saving', outcome: 'complete', zeroAfterCounts: 3 },
  reviewing: { ...plan, phase: 'reviewing', onsetSlot: 1000, quality: look },
  kept: { ...plan, phase: 'kept', onsetSlot: 1000, isVoided: false, figures },
  interrupted: {
    ...plan,
    phase: 'interrupted',
    onsetSlot: 1000,
    reason: 'disconnect',
    sentence: 'Amplifier lost at 3.42 s.',
  },
};
const phases = Object.keys(states) as TrialPhase[];

/** `at 101 s` is one second after the phase began for all phases of the table that have a beginning. */
const events = {
  'arm at 101 s': { type: 'armRequested', plan, nowUs: 101 * SECOND },
  stop: { type: 'stopRequested', nowUs: 106 * SECOND },
  'clock at 100.1 s': { type: 'clockTicked', nowUs: 100.1 * SECOND },
  'clock at 101 s': { type: 'clockTicked', nowUs: 101 * SECOND },
  'clock at 140 s': { type: 'clockTicked', nowUs: 140 * SECOND },
  'samples in the run': { type: 'samplesReceived', lastSlot: 1499, nowUs: 105 * SECOND },
  'samples past the run': { type: 'samplesReceived', lastSlot: 1500, nowUs: 105 * SECOND },
  'samples past the tail': { type: 'samplesReceived', lastSlot: 1600, nowUs: 106 * SECOND },
  onset: { type: 'onsetFound', onsetSlot: 1000, sampleRateHz: 100, nowUs: 101 * SECOND },
  'early torque': { type: 'earlyTorqueSeen' },
  'wrong direction': { type: 'wrongDirectionSeen' },
  overload: { type: 'overloadSeen', torqueNm: 1700 },
  'amplifier lost': { type: 'amplifierLost', reason: 'disconnect' },
  'reader lost': { type: 'amplifierLost', reason: 'readerLost' },
  'segment broken': { type: 'segmentBroken' },
  'no preload': { type: 'preloadMissing', standingNm: 3, leastNm: 30 },
  'torque gone': { type: 'torqueGone', nowUs: 103 * SECOND },
  rest: { type: 'restMeasured', zeroCounts: 12 },
  'record not begun': { type: 'recordNotBegun' },
  'write failed': { type: 'persistFailed' },
  'stored, good': { type: 'trialStored', quality: good, figures },
  'stored, look': { type: 'trialStored', quality: look, figures },
  'interruption stored': { type: 'interruptionStored', sentence: 'Amplifier lost at 3.42 s.' },
  'decided: kept': { type: 'decisionStored', trialId: 'trial-1', decision: 'kept', figures },
  'decided: kept, nothing to show': {
    type: 'decisionStored',
    trialId: 'trial-1',
    decision: 'kept',
    figures: null,
  },
  'decided: voided': { type: 'decisionStored', trialId: 'trial-1', decision: 'voided', figures },
  'decided: restored': { type: 'decisionStored', trialId: 'trial-1', decision: 'restored', figures },
  'decided: interrupted': {
    type: 'decisionStored',
    trialId: 'trial-1',
    decision: 'interrupted',
    figures: null,
  },
  'decided: another trial': { type: 'decisionStored', trialId: 'trial-0', decision: 'voided', figures },
  'measured anew': { type: 'measuredAnew', trialId: 'trial-1', figures },
  'measured anew: another trial': { type: 'measuredAnew', trialId: 'trial-0', figures },
  'bench changed': { type: 'benchChanged' },
  'program ending': { type: 'programEnding' },
} as const satisfies Record<string, TrialEvent>;
type EventName = keyof typeof events;

/**
 * Every pair that does something: the phase it leads to and the effects it asks for, or `refused`.
 * Every pair that is not here is ignored: same state, no effects. The test goes through all pairs.
 */
const moves: Partial<Record<TrialPhase, Partial<Record<EventName, string>>>> = {
  idle: { 'arm at 101 s': 'countdown: arm', stop: 'refused' },
  countdown: {
    'arm at 101 s': 'refused',
    stop: 'idle: fault logAbort',
    'clock at 101 s': 'countdown: count',
    'clock at 140 s': 'waiting: watchForOnset go operatorMayStart',
    'early torque': 'idle: fault logAbort',
    overload: 'idle: fault logAbort',
    'no preload': 'idle: fault logAbort',
    'amplifier lost': 'idle: fault logAbort',
    'reader lost': 'idle: fault logAbort',
    'segment broken': 'idle: fault logAbort',
    'program ending': 'idle: fault logAbort',
  },
  waiting: {
    'arm at 101 s': 'refused',
    stop: 'idle: fault logAbort',
    'clock at 140 s': 'idle: fault logAbort',
    onset: 'run: beginRecord',
    'early torque': 'idle: fault logAbort',
    'wrong direction': 'idle: fault logAbort',
    overload: 'idle: fault logAbort',
    'no preload': 'idle: fault logAbort',
    'amplifier lost': 'idle: fault logAbort',
    'reader lost': 'idle: fault logAbort',
    'segment broken': 'idle: fault logAbort',
    'program ending': 'idle: fault logAbort',
  },
  run: {
    'arm at 101 s': 'refused',
    stop: 'saving: fault finishRecord(operator)',
    'clock at 140 s': 'unloading: stop',
    'samples in the run': 'run: storeNewSamples',
    'samples past the run': 'tail: storeNewSamples stop',
    'samples past the tail': 'unloading: storeNewSamples stop',
    'wrong direction': 'saving: fault finishRecord(wrongDirection)',
    overload: 'saving: fault finishRecord(overload)',
    'amplifier lost': 'saving: fault finishRecord(disconnect)',
    'reader lost': 'saving: fault finishRecord(readerLost)',
    'segment broken': 'saving: fault finishRecord(segmentBreak)',
    'record not begun': 'idle: fault',
    'write failed': 'interrupted: fault',
    'program ending': 'saving: fault finishRecord(programEnded)',
  },
  tail: {
    'arm at 101 s': 'refused',
    stop: 'unloading:',
    'clock at 140 s': 'unloading:',
    'samples in the run': 'tail: storeNewSamples',
    'samples past the run': 'tail: storeNewSamples',
    'samples past the tail': 'unloading: storeNewSamples',
    overload: 'saving: fault finishRecord(overload)',
    'amplifier lost': 'saving: fault finishRecord(disconnect)',
    'reader lost': 'saving: fault finishRecord(readerLost)',
    'segment broken': 'saving: fault finishRecord(segmentBreak)',
    'record not begun': 'idle: fault',
    'write failed': 'interrupted: fault',
    'program ending': 'saving: fault finishRecord(programEnded)',
  },
  unloading: {
    'arm at 101 s': 'refused',
    stop: 'saving: finishRecord(complete)',
    'clock at 140 s': 'saving: finishRecord(complete)',
    'amplifier lost': 'saving: finishRecord(complete)',
    'reader lost': 'saving: finishRecord(complete)',
    'segment broken': 'saving: finishRecord(complete)',
    rest: 'saving: finishRecord(complete)',
    'record not begun': 'idle: fault',
    'write failed': 'interrupted: fault',
    'program ending': 'saving: finishRecord(complete)',
  },
  saving: {
    'arm at 101 s': 'refused',
    stop: 'refused',
    'record not begun': 'idle: fault',
    'write failed': 'interrupted: fault',
    'stored, good': 'kept:',
    'stored, look': 'reviewing:',
  },
  reviewing: {
    'arm at 101 s': 'refused',
    stop: 'refused',
    'decided: kept': 'kept:',
    'decided: kept, nothing to show': 'idle:',
    'decided: restored': 'kept:',
    'decided: voided': 'idle:',
  },
  kept: {
    'arm at 101 s': 'countdown: arm',
    stop: 'refused',
    'decided: kept': 'kept:',
    'decided: kept, nothing to show': 'idle:',
    'decided: restored': 'kept:',
    'decided: voided': 'kept:',
    'measured anew': 'kept:',
    'bench changed': 'idle:',
  },
  interrupted: {
    'arm at 101 s': 'countdown: arm',
    stop: 'refused',
    'decided: kept': 'kept:',
    'decided: kept, nothing to show': 'idle:',
    'decided: restored': 'kept:',
    'decided: voided': 'idle:',
    'bench changed': 'idle:',
  },
};

function outcomeOf(state: TrialState, event: TrialEvent): string {
  try {
    const transition = reduceTrial(state, event);
    const effects = transition.effects.map((effect) => {
      if (effect.type === 'soundCue') return effect.cue;
      return effect.type === 'finishRecord' ? `finishRecord(${effect.outcome})` : effect.type;
    });
    if (transition.state === state && effects.length === 0) return 'ignored';
    return [`${transition.state.phase}:`, ...effects].join(' ');
  } catch (error) {
    if (error instanceof AppError && error.code === 'invalid-state') return 'refused';
    throw error;
  }
}

const pairs = phases.flatMap((phase) =>
  (Object.keys(events) as EventName[]).map((event) => ({
    phase,
    event,
    outcome: moves[phase]?.[event] ?? 'ignored',
  })),
);

describe('every event in every phase', () => {
  it.each(pairs)('$phase, $event: $outcome', ({ phase, event, outcome }) => {
    expect(outcomeOf(states[phase], events[event])).toBe(outcome);
  });
});

describe('a kept trial in sight', () => {
  it('is shown with its figures of now once it was measured anew, voided or not', () => {
    const anew: TrialFigures = { ...figures, calibrationId: 'calibration-2' };
    const shown: TrialState = { ...states.kept, isVoided: true };
    expect(
      reduceTrial(shown, { type: 'measuredAnew', trialId: 'trial-1', figures: anew }).state,
    ).toMatchObject({ phase: 'kept', isVoided: true, figures: anew });
  });
});

describe('a trial of its own kind', () => {
  const ofKind = (phase: Exclude<TrialPhase, 'idle'>, kind: Kind): TrialState => ({
    ...states[phase],
    step: { ...plan.step, kind },
  });
  const moved = (phase: Exclude<TrialPhase, 'idle'>, kind: Kind, event: EventName): string =>
    outcomeOf(ofKind(phase, kind), events[event]);

  it.each(['stall', 'endurance'] as const)('of kind %s is over once the tool has stopped', (kind) => {
    expect(moved('run', kind, 'torque gone')).toBe('unloading: stop');
    expect(moved('tail', kind, 'torque gone')).toBe('ignored');
    expect(reduceTrial(ofKind('run', kind), events['torque gone']).state).toMatchObject({
      unloadingBeganUs: 103 * SECOND,
    });
  });

  it.each(['tighten', 'breakaway'] as const)('of kind %s takes its planned time', (kind) => {
    expect(moved('run', kind, 'torque gone')).toBe('ignored');
  });

  it('knows no wrong direction in a breakaway, before onset and after', () => {
    expect(moved('waiting', 'breakaway', 'wrong direction')).toBe('ignored');
    expect(moved('run', 'breakaway', 'wrong direction')).toBe('ignored');
    expect(moved('waiting', 'stall', 'wrong direction')).toBe('idle: fault logAbort');
    expect(moved('run', 'endurance', 'wrong direction')).toBe('saving: fault finishRecord(wrongDirection)');
  });

  it('says of a breakaway what was missing, and of which way to tighten', () => {
    const problem = (phase: Exclude<TrialPhase, 'idle'>, event: TrialEvent): string | null => {
      const { state } = reduceTrial(ofKind(phase, 'breakaway'), event);
      return state.phase === 'idle' ? state.lastProblem : null;
    };
    expect(problem('countdown', events['no preload'])).toContain(
      'A preload of 3.0\u202fN·m (2.2\u202fft·lbf) stands against the step',
    );
    expect(problem('countdown', events['no preload'])).toContain('Tighten the fastener in reverse');
    expect(problem('countdown', { ...events['no preload'], standingNm: null })).toContain('were lost');
    expect(problem('countdown', events['early torque'])).toContain('The preload was moved before the go');
    expect(problem('waiting', events['clock at 140 s'])).toContain('nothing moved the preload');
  });

  it('waits for the samples of an hour as long as an amplifier may be slow that is not at fault', () => {
    const hour: TrialState = { ...states.run, step: { ...plan.step, kind: 'endurance', plannedS: 3600 } };
    const ticked = (atS: number): string =>
      reduceTrial(hour, { type: 'clockTicked', nowUs: (100 + atS) * SECOND }).state.phase;
    expect(ticked(3670)).toBe('run');
    expect(ticked(3675)).toBe('unloading');
  });

  it('waits for the clock where the amplifier has become faster, so that an hour is not cut short', () => {
    const hour: TrialState = { ...states.run, step: { ...plan.step, kind: 'endurance', plannedS: 3600 } };
    const { onsetSlot, sampleRateHz } = states.run;
    /** Samples that have come so many seconds after onset, at a rate 0.05 % above that of the arming. */
    const after = (atS: number, from: TrialState): ReturnType<typeof reduceTrial> =>
      reduceTrial(from, {
        type: 'samplesReceived',
        lastSlot: onsetSlot + Math.floor(atS * 1.0005 * sampleRateHz),
        nowUs: states.run.beganUs + atS * SECOND,
      });
    const early = after(3599.5, hour);
    expect(early.state.phase).toBe('run');
    const tail = after(3600, early.state);
    expect(tail.state.phase).toBe('tail');
    const late = after(3600.5, tail.state);
    expect(late.state.phase).toBe('tail');
    expect(late.effects).toContainEqual({
      type: 'storeNewSamples',
      untilSlot: onsetSlot + Math.floor(3600.5 * 1.0005 * sampleRateHz),
    });
    expect(after(3601, late.state).state.phase).toBe('unloading');
  });

  it('goes by the samples where the host found the onset late, but for a fiftieth of the time', () => {
    const stalled: TrialState = { ...states.run, beganUs: states.run.beganUs + 2 * SECOND };
    const at = (afterS: number): string =>
      reduceTrial(stalled, {
        type: 'samplesReceived',
        lastSlot: states.run.onsetSlot + afterS * states.run.sampleRateHz,
        nowUs: states.run.beganUs + afterS * SECOND,
      }).state.phase;
    expect(at(states.run.step.plannedS * 1.01)).toBe('run');
    expect(at(states.run.step.plannedS * 1.02)).toBe('tail');
  });

  it('goes on with what there is where the monotonic clock jumps ahead, and waits where it jumps back', () => {
    const jumped = reduceTrial(states.run, { type: 'clockTicked', nowUs: 4000 * SECOND });
    expect(jumped.state).toMatchObject({ phase: 'unloading', unloadingBeganUs: 4000 * SECOND });
    expect(reduceTrial(states.run, { type: 'clockTicked', nowUs: 50 * SECOND }).state).toBe(states.run);
  });
});

describe('a whole trial', () => {
  const play = (steps: readonly TrialEvent[], from: TrialState = initialTrialState): TrialState =>
    steps.reduce((state, event) => reduceTrial(state, event).state, from);

  it('counts three, then waits for torque', () => {
    let state: TrialState = play([{ type: 'armRequested', plan, nowUs: 0 }]);
    const cues: string[] = [];
    for (let nowUs = 0; nowUs <= 4 * SECOND; nowUs += 50_000) {
      const transition = reduceTrial(state, { type: 'clockTicked', nowUs });
      state = transition.state;
      for (const effect of transition.effects) {
        if (effect.type === 'soundCue') cues.push(`${effect.cue} ${nowUs / SECOND}`);
      }
    }
    expect(cues).toEqual(['count 0.5', 'count 1.5', 'count 2.5', 'go 3.5']);
    expect(state.phase).toBe('waiting');
  });

  it('measures the window from onset, however late the onset was found', () => {
    const found: TrialEvent = {
      type: 'onsetFound',
      onsetSlot: 1000,
      sampleRateHz: 100,
      nowUs: 10.2 * SECOND,
    };
    const running = play([found], states.waiting);
    expect(play([{ type: 'samplesReceived', lastSlot: 1499, nowUs: 15.2 * SECOND }], running).phase).toBe(
      'run',
    );
    expect(play([{ type: 'samplesReceived', lastSlot: 1500, nowUs: 15.2 * SECOND }], running).phase).toBe(
      'tail',
    );
  });

  it('waits a minute for the load to come off a rig that holds', () => {
    const holding: TrialState = { ...states.unloading, rigUnloading: 'holds' };
    expect(play([{ type: 'clockTicked', nowUs: 165 * SECOND }], holding).phase).toBe('unloading');
    expect(play([{ type: 'clockTicked', nowUs: 166 * SECOND }], holding).phase).toBe('saving');
  });

  it('keeps the zero that was measured after the run', () => {
    const { effects } = reduceTrial(states.unloading, { type: 'restMeasured', zeroCounts: 12 });
    expect(effects).toEqual([{ type: 'finishRecord', outcome: 'complete', zeroAfterCounts: 12 }]);
  });

  it('shows that a kept trial was voided and that the void was taken back', () => {
    const voided = play([events['decided: voided']], states.kept);
    expect(voided).toMatchObject({ phase: 'kept', isVoided: true });
    expect(play([events['decided: restored']], voided)).toMatchObject({ phase: 'kept', isVoided: false });
  });

  it('is whole when it is stopped in the tail, and its zero is still to be checked', () => {
    const stopped = play([events.stop], states.tail);
    expect(stopped).toMatchObject({ phase: 'unloading', unloadingBeganUs: 106 * SECOND });
    expect(play([events.rest], stopped)).toMatchObject({ phase: 'saving', outcome: 'complete' });
  });

  it('shows the figures of a cut recording once it was kept', () => {
    expect(play([events['decided: kept']], states.interrupted)).toMatchObject({ phase: 'kept', figures });
  });

  it('ends as interrupted when a cut recording is stored', () => {
    const cut = play([events['amplifier lost'], events['interruption stored']], states.run);
    expect(cut).toMatchObject({
      phase: 'interrupted',
      reason: 'disconnect',
      sentence: 'Amplifier lost at 3.42 s.',
    });
  });
});
