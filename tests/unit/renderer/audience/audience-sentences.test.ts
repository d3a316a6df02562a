import { describe, expect, it } from 'vitest';
import { describeForAudience } from '../../../../renderer/audience/audience-sentences.ts';
import type { BenchStatus, TrialView } from '../../../../shared-lib/bench-status.ts';
import { demoFigures, demoStep, readyStatus, unconnectedStatus } from '../../../helpers/scripted-bench.ts';
import { demoEntry, demoSheet, otherSetup } from '../../../helpers/scripted-sheet.ts';

const trial = { step: demoStep, trialId: 't1' };
const said = (view: TrialView, change: Partial<BenchStatus> = {}) =>
  describeForAudience({ ...readyStatus, trial: view, runSheet: demoSheet, ...change }, 'open');

describe('what the audience is told', () => {
  it('is what comes next, then what is being tried, in the words of the run sheet', () => {
    const what = 'Hollin H5, pack 2, forward, run 2 of 3';
    expect(said({ phase: 'idle', lastProblem: null })).toEqual({ what, state: 'Next', detail: null });
    expect(said({ phase: 'countdown', step: demoStep, secondsLeft: 3 })).toMatchObject({
      what,
      state: 'Get ready',
    });
    expect(said({ phase: 'run', ...trial, onsetSlot: 10 })).toMatchObject({ what, state: 'Pulling' });
  });

  it('is no result before the trial is kept, and that this is so on purpose', () => {
    for (const view of [
      { phase: 'tail', ...trial, onsetSlot: 10 },
      { phase: 'unloading', ...trial, prompt: 'Keep the tool off.' },
      { phase: 'saving', ...trial },
      { phase: 'reviewing', ...trial, quality: { verdict: 'look', reasons: [] } },
    ] satisfies TrialView[]) {
      expect(JSON.stringify(said(view))).not.toMatch(/\d N·m|Keep the tool|Kept"/);
    }
    const reviewing = said({ phase: 'reviewing', ...trial, quality: { verdict: 'look', reasons: [] } });
    expect(reviewing.detail).toMatch(/before anybody sees its figures/);
  });

  it('is what the result is of, though the sheet has gone on, and what follows', () => {
    const runSheet = {
      ...demoSheet,
      current: demoEntry('e2', { setup: otherSetup, step: { ...demoStep, toolName: 'Tarnwick T6' } }),
    };
    const kept: TrialView = { phase: 'kept', ...trial, isVoided: false, figures: demoFigures };
    expect(said(kept, { runSheet })).toEqual({
      what: 'Hollin H5, forward, 5\u202fs',
      state: 'Kept',
      detail: 'Next: Tarnwick T6, pack 1, forward, run 2 of 3',
    });
    expect(said({ ...kept, isVoided: true }, { runSheet }).state).toBe('Voided, not counted');
    expect(said(kept, { runSheet: { ...runSheet, current: null } }).detail).toBe('All pulls are done');
    expect(said(kept, { runSheet: null }).detail).toBeNull();
  });

  it('gives no instruction: not where something is to be put right, nor where nothing is reached', () => {
    const obstacles = [{ code: 'x', sentence: 'Open the safety list.', remedy: 'safety' }] as const;
    const idle: TrialView = { phase: 'idle', lastProblem: 'No torque within 30 s.' };
    expect(said(idle, { obstacles: [...obstacles] }).detail).toBeNull();
    expect(describeForAudience(unconnectedStatus, 'open').what).toBe('Nothing is connected');
    expect(describeForAudience(readyStatus, 'lost').what).toBe('The bench is not reached');
    expect(describeForAudience(null, 'open').what).toBe('The bench is not reached');
  });
});
