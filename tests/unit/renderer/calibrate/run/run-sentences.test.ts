import { describe, expect, it } from 'vitest';
import { minutesOf } from '../../../../../renderer/calibrate/run/run-options.ts';
import {
  dwellShare,
  hungWeights,
  hungWords,
  phaseWords,
  primaryAction,
  progressWords,
  stageWords,
  steadinessFigures,
  takenWords,
} from '../../../../../renderer/calibrate/run/run-sentences.ts';
import type { TakenReading } from '../../../../../shared-lib/calibration/run-model.ts';
import { sampleProgress, sampleRun } from './sample-run.ts';

const run = sampleRun();
const taken = (index: number, id: number): TakenReading => ({
  id,
  index,
  meanCounts: 500,
  standardDeviationCounts: 1,
  spreadCounts: 3,
  driftCountsPerS: 0,
  sampleCount: 100,
  durationS: 1,
  takenAt: '2026-01-10T09:00:00.000Z',
  by: 'steady',
  flags: [],
});
const changes = (hung: ReturnType<typeof hungWeights>) =>
  hung.map(({ weight, change }) => `${weight.id} ${change}`);

describe('steadiness', () => {
  it('has a word and a shape for every phase, none of them the same word', () => {
    const phases = [
      'noSignal',
      'waitingForHands',
      'unchanged',
      'moving',
      'settling',
      'steady',
      'held',
    ] as const;
    const words = phases.map((phase) => phaseWords(sampleProgress({ phase })));
    expect(new Set(words.map(({ word }) => word)).size).toBe(phases.length);
    expect(words.map(({ shape }) => shape)).toEqual([
      'fault',
      'information',
      'off',
      'live',
      'live',
      'good',
      'caution',
    ]);
  });

  it('counts the dwell down in whole seconds, never under none', () => {
    expect(phaseWords(sampleProgress({ heldS: 12.4, dwellS: 30 })).detail).toBe(
      '18\u202fs more of stillness.',
    );
    expect(phaseWords(sampleProgress({ heldS: 31, dwellS: 30 })).detail).toBe('0\u202fs more of stillness.');
  });

  it('fills its bar with the share of the dwell', () => {
    expect(dwellShare(sampleProgress({ heldS: 12, dwellS: 30 }))).toBeCloseTo(0.4, 12);
    expect(dwellShare(sampleProgress({ heldS: 40, dwellS: 30 }))).toBe(1);
    expect(dwellShare(null)).toBe(0);
  });

  it('tells spread and drift where they are known', () => {
    expect(steadinessFigures(sampleProgress())).toBe('Spread 4.0 counts, drift 0.2 counts/s');
    expect(steadinessFigures(sampleProgress({ spreadCounts: null }))).toBe('');
  });
});

describe('the one press', () => {
  it.each([
    ['waitingForHands', 'confirm'],
    ['moving', 'take'],
    ['settling', 'take'],
    ['held', 'takeAnyway'],
    ['noSignal', 'none'],
  ] as const)('while %s means %s', (phase, action) => {
    expect(primaryAction(run, sampleProgress({ phase }))).toBe(action);
  });

  it('goes on after a pause, whatever the signal does', () => {
    expect(primaryAction({ state: 'paused', nextIndex: 3 }, null)).toBe('resume');
  });

  it('does nothing before anything is known, and nothing once all is taken', () => {
    expect(primaryAction(run, null)).toBe('none');
    expect(primaryAction({ state: 'complete', nextIndex: null }, sampleProgress())).toBe('none');
  });
});

describe('what hangs', () => {
  it('comes on for the first load', () => {
    expect(changes(hungWeights({ ...run, taken: [taken(0, 1)], nextIndex: 1 }))).toEqual(['A on']);
  });

  it('stays or comes on while the load rises, and goes off while it falls', () => {
    const rising = { ...run, taken: [taken(0, 1), taken(1, 2)], nextIndex: 2 };
    expect(changes(hungWeights(rising))).toEqual(['A stays', 'B on']);
    const falling = { ...run, taken: [taken(0, 1), taken(1, 2), taken(2, 3)], nextIndex: 3 };
    expect(changes(hungWeights(falling))).toEqual(['A stays', 'B off']);
  });

  it('was taken off for a change of the sense', () => {
    const firstReverse = run.readings.findIndex(({ sense }) => sense === 'reverse');
    const turned = {
      ...run,
      taken: Array.from({ length: firstReverse + 1 }, (_, index) => taken(index, index + 1)),
      nextIndex: firstReverse + 1,
    };
    expect(changes(hungWeights(turned))).toEqual(['A on']);
  });

  it('is told in words beside the drawing', () => {
    const hung = hungWeights({ ...run, taken: [taken(0, 1), taken(1, 2)], nextIndex: 2 });
    expect(hungWords(hung, 'forward', 'Long arm').replaceAll('\u202f', ' ')).toBe(
      'Long arm, loaded forward: 10 kg A, 10 kg B hang from it, 20 kg in all. Put on: 10 kg B.',
    );
    expect(hungWords([], 'forward', 'Long arm')).toBe('Long arm, loaded forward: nothing hangs from it.');
  });
});

describe('rows and numbers', () => {
  it('number the reading that is asked for from one', () => {
    expect(progressWords({ readings: run.readings, nextIndex: 8 })).toBe(
      `Reading 9 of ${run.readings.length}`,
    );
    expect(progressWords({ readings: run.readings, nextIndex: null })).toBe(
      `All ${run.readings.length} readings taken`,
    );
  });

  it('say what a reading was for', () => {
    expect(stageWords({ stage: 'decreasing', level: 2, series: 2 }, '196 N·m')).toBe(
      'Falling, level 2: 196 N·m',
    );
    expect(stageWords({ stage: 'zeroBefore', level: 0, series: 1 }, '0 N·m')).toBe('Zero before series 1');
  });

  it('keep with a reading what was out of the ordinary', () => {
    expect(takenWords({ by: 'steady', flags: [] })).toBe('by itself');
    expect(takenWords({ by: 'key', flags: [{ code: 'moving', sentence: 'It still moved.' }] })).toBe(
      'by key. It still moved.',
    );
  });

  it('reckon the time that hands, dwell and remounting take', () => {
    const [first] = run.readings;
    if (first === undefined) throw new Error('There is no reading');
    const loaded = { ...first, handling: null, stage: 'increasing' as const };
    // 20 s of hands and 40 s of dwell each; a remounting takes three minutes more.
    expect(
      minutesOf(
        Array.from({ length: 10 }, () => loaded),
        40,
      ),
    ).toBe(10);
    expect(minutesOf([{ ...loaded, handling: 'Remount.' }], 40)).toBe(4);
    expect(minutesOf([{ ...loaded, stage: 'warmUp' }], 40)).toBe(10);
  });
});
