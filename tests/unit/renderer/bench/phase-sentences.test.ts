import { describe, expect, it } from 'vitest';
import { describeUnderWay, type ViewUnderWay } from '../../../../renderer/bench/phase-sentences.ts';
import { pressMeaning } from '../../../../renderer/bench/primary-action.ts';
import { type Kind, kindSchema } from '../../../../shared-lib/trial/step-model.ts';
import { demoStep } from '../../../helpers/scripted-bench.ts';
import { demoSheet } from '../../../helpers/scripted-sheet.ts';

const kinds = [...kindSchema.values];

function viewsOf(kind: Kind): ViewUnderWay[] {
  const step = { ...demoStep, kind };
  const trial = { step, trialId: 't1' };
  return [
    { phase: 'countdown', step, secondsLeft: 3 },
    { phase: 'waiting', step },
    { phase: 'run', ...trial, onsetSlot: 10 },
    { phase: 'tail', ...trial, onsetSlot: 10 },
    { phase: 'unloading', ...trial, prompt: 'Take the tool off.' },
    { phase: 'saving', ...trial },
  ];
}

const detailOf = (kind: Kind, phase: ViewUnderWay['phase']): string => {
  const view = viewsOf(kind).find((candidate) => candidate.phase === phase);
  if (view === undefined) throw new Error('There is no such phase');
  return describeUnderWay(view, null).detail ?? '';
};

describe('the words while a trial is under way', () => {
  it.each(kinds)('never promise to stop the tool, and stop the recording by a hold alone: %s', (kind) => {
    for (const view of viewsOf(kind)) {
      const { next, detail, primary, isUnderWay } = describeUnderWay(view, null);
      expect(isUnderWay).toBe(true);
      expect(`${next} ${primary.label}`).not.toMatch(/stop(?! recording)/i);
      expect(pressMeaning(primary)).toBe(view.phase === 'saving' ? 'none' : 'hold');
      expect(detail).not.toBe('');
    }
  });

  it('tell each kind when it is recorded and when the trigger may be let go', () => {
    expect(detailOf('tighten', 'waiting')).toMatch(/when the torque rises/);
    expect(detailOf('breakaway', 'waiting')).toMatch(/leaves the preload/);
    expect(detailOf('stall', 'waiting')).toMatch(/^Brace yourself/);
    expect(detailOf('breakaway', 'run')).toMatch(/When it has let go, release/);
    expect(detailOf('endurance', 'run')).toMatch(/stops by itself, that is the result/);
    expect(detailOf('tighten', 'run')).toBe('Hollin H5, forward, 5\u202fs');
  });

  it('name a trial by the sheet only where it is the one of the sheet', () => {
    const run: ViewUnderWay = { phase: 'run', step: demoStep, trialId: 't1', onsetSlot: 10 };
    expect(describeUnderWay(run, demoSheet).detail).toMatch(/run 2 of 3/);
    const other: ViewUnderWay = { ...run, step: { ...demoStep, toolName: 'Corvane C8' } };
    expect(describeUnderWay(other, demoSheet).detail).toBe('Corvane C8, forward, 5\u202fs');
  });
});
