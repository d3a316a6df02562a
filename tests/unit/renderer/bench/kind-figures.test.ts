import { describe, expect, it } from 'vitest';
import { figureOf } from '../../../../renderer/bench/big-figure-words.ts';
import { highlights, kindRows, mainFigure } from '../../../../renderer/bench/kind-figures.ts';
import { torqueDisplay } from '../../../../renderer/ui/torque-display.ts';
import type { BenchStatus, TrialView } from '../../../../shared-lib/bench-status.ts';
import type { TrialFigures } from '../../../../shared-lib/trial/trial-model.ts';
import { demoFigures, demoStep, readyStatus } from '../../../helpers/scripted-bench.ts';

const display = torqueDisplay('Nm', readyStatus);
const reading = {
  quantity: 'torqueNm',
  mean: 123.4,
  isOutsideCalibratedRange: false,
  endSlot: 5000,
  sampleRateHz: 1000,
} as const;

const endurance: TrialFigures = {
  ...demoFigures,
  endurance: {
    firstNm: 480,
    lastNm: 360,
    fadePercent: 25,
    fadePercentPerMin: 5.02,
    under80PercentS: 241.6,
    pulledS: 300,
  },
};
const released: TrialFigures = { ...demoFigures, breakaway: { preloadNm: 400, releasedAtS: 0.84 } };
const notReleased: TrialFigures = { ...demoFigures, breakaway: { preloadNm: 400, releasedAtS: null } };
const stalled: TrialFigures = { ...demoFigures, stallTorqueNm: { value: 88.2 } };

const figureIn = (trial: TrialView): ReturnType<typeof figureOf> => {
  const status: BenchStatus = { ...readyStatus, trial };
  return figureOf(status, reading, display);
};

describe('the one figure of a kept trial', () => {
  it.each([
    ['tighten', demoFigures, '512', 'N·m', 'sustained torque, forward'],
    ['stall', stalled, '88', 'N·m', 'stall torque, forward'],
    ['breakaway', released, '400', 'N·m', 'preload, released after 0.84\u202fs'],
    ['breakaway', notReleased, '400', 'N·m', 'preload, not released'],
    ['endurance', endurance, '25.0', '%', 'fade, 480 to 360\u202fN·m'],
  ] as const)('is what a %s trial is about', (kind, figures, digits, unit, caption) => {
    expect(mainFigure({ kind, direction: 'forward' }, figures, display)).toEqual({
      digits,
      unit,
      caption,
      refused: null,
    });
  });

  it.each([
    ['tighten', { ...demoFigures, sustainedTorqueNm: { refused: 'Too slow.' } }],
    ['stall', { ...demoFigures, stallTorqueNm: { refused: 'Too slow.' } }],
    ['breakaway', { ...demoFigures, breakaway: { refused: 'Too slow.' } }],
    ['endurance', { ...demoFigures, endurance: { refused: 'Too slow.' } }],
  ] as const)('says why a %s curve carries none', (kind, figures) => {
    expect(mainFigure({ kind, direction: 'forward' }, figures, display)).toMatchObject({
      digits: null,
      refused: 'Too slow.',
    });
  });

  it('falls back on the sustained torque for a trial from before its kind was measured', () => {
    expect(mainFigure({ kind: 'stall', direction: 'forward' }, demoFigures, display).caption).toBe(
      'sustained torque, forward',
    );
  });
});

describe('the big figure', () => {
  it('shows a result only of a kept trial, live torque while one is decided', () => {
    const trial = { step: demoStep, trialId: 't1' };
    expect(figureIn({ phase: 'kept', ...trial, isVoided: false, figures: demoFigures }).digits).toBe('512');
    expect(
      figureIn({ phase: 'reviewing', ...trial, quality: { verdict: 'look', reasons: [] } }),
    ).toMatchObject({ digits: '123', caption: 'torque now' });
    expect(figureIn({ phase: 'saving', ...trial }).caption).toBe('torque now');
  });

  it('says of a voided trial that it does not count', () => {
    const view: TrialView = {
      phase: 'kept',
      step: demoStep,
      trialId: 't1',
      isVoided: true,
      figures: demoFigures,
    };
    expect(figureIn(view).caption).toBe('voided, not counted');
  });

  it('shows a dash where nothing comes in', () => {
    expect(figureOf(readyStatus, null, display)).toMatchObject({ digits: '–', caption: 'no reading' });
  });
});

describe('what is to be read from three metres beside it', () => {
  const tighten = { kind: 'tighten' } as const;

  it('is when the torque levelled off, and when it reached the highest level that it reached', () => {
    expect(highlights(tighten, { ...demoFigures, levelledOffSinceS: 3.06 }, display)).toEqual([
      'Levelled off after 3.1\u202fs',
      '400\u202fN·m after 1.56\u202fs',
    ]);
  });

  it('is how fast it still climbs where it does', () => {
    const figures = { ...demoFigures, stillClimbingPercentPerS: { value: 2.41 }, timeToLevel: [] };
    expect(highlights(tighten, figures, display)).toEqual(['Still climbing, 2.4\u202f%/s']);
    const level = { ...figures, stillClimbingPercentPerS: { value: 0.4 } };
    expect(highlights(tighten, level, display)).toEqual([]);
  });

  it('is whether it was released, and when the torque had faded', () => {
    expect(highlights({ kind: 'breakaway' }, released, display)).toEqual(['Released after 0.84\u202fs']);
    expect(highlights({ kind: 'breakaway' }, notReleased, display)).toEqual(['Not released']);
    expect(highlights({ kind: 'endurance' }, endurance, display)).toEqual([
      'Under 80\u202f% after 4\u202fmin 02\u202fs',
    ]);
    const lasting = { ...endurance, endurance: { ...endurance.endurance, under80PercentS: null } };
    expect(highlights({ kind: 'endurance' }, lasting as TrialFigures, display)).toEqual([
      'Never under 80\u202f% of its first torque',
    ]);
  });
});

describe('the rows of a kind', () => {
  const namesOf = (kind: 'tighten' | 'stall' | 'breakaway' | 'endurance', figures: TrialFigures): string[] =>
    kindRows({ kind }, figures, display).map(({ name, value }) => `${name}: ${value ?? 'no figure'}`);

  it('are its own figures', () => {
    expect(namesOf('tighten', demoFigures)).toEqual([]);
    expect(namesOf('stall', stalled)).toEqual(['Stall torque: 88\u202fN·m']);
    expect(namesOf('breakaway', released)).toEqual([
      'Preload before the run: 400\u202fN·m',
      'Released at: 0.84\u202fs',
    ]);
    expect(namesOf('breakaway', notReleased)).toContain('Released at: not released');
    expect(namesOf('endurance', endurance)).toEqual([
      'First tenth: 480\u202fN·m',
      'Last tenth: 360\u202fN·m',
      'Fade: 25.0\u202f%',
      'Fade per minute: 5.02\u202f%',
      'Under 80\u202f% after: 4\u202fmin 02\u202fs',
      'Pulled for: 5\u202fmin 00\u202fs',
    ]);
  });

  it('say why there are none', () => {
    const figures = { ...demoFigures, breakaway: { refused: 'No preload stood before.' } };
    expect(kindRows({ kind: 'breakaway' }, figures, display)).toEqual([
      { name: 'Released', value: null, note: 'No preload stood before.' },
    ]);
  });
});
