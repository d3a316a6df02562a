import { describe, expect, it } from 'vitest';
import { usualTimesS, withKind } from '../../../../renderer/bench/step-kinds.ts';
import {
  beforeStart,
  describePull,
  describeStep,
  describeTime,
} from '../../../../renderer/bench/step-words.ts';
import { kindSchema, stepSchema } from '../../../../shared-lib/trial/step-model.ts';
import { demoStep } from '../../../helpers/scripted-bench.ts';

describe('the words for a step', () => {
  it('name tool, direction and time, with a decimal only where the time has one', () => {
    expect(describeStep(demoStep)).toBe('Hollin H5, forward, 5\u202fs');
    expect(describeStep({ ...demoStep, direction: 'reverse', plannedS: 7.5 })).toBe(
      'Hollin H5, reverse, 7.5\u202fs',
    );
  });

  it('name the kind where it is not the usual one', () => {
    expect(describePull({ kind: 'breakaway', direction: 'reverse', plannedS: 5 })).toBe(
      'breakaway reverse, 5\u202fs',
    );
  });

  it('give long times in minutes where they are whole', () => {
    expect(describeTime(300)).toBe('5\u202fmin');
    expect(describeTime(150)).toBe('150\u202fs');
    expect(describeTime(60)).toBe('60\u202fs');
  });

  it('say what the hands have to do before a start: tighten for breakaway, in both units, brace for stall', () => {
    expect(beforeStart({ kind: 'breakaway', preloadNm: 400 })).toBe(
      'Tighten to 400\u202fN·m (295\u202fft·lbf) first, then start.',
    );
    expect(beforeStart({ kind: 'breakaway', preloadNm: null })).toBe(
      'Tighten the fastener first, then start.',
    );
    expect(beforeStart({ kind: 'stall' })).toMatch(/brace/i);
    expect(beforeStart({ kind: 'tighten' })).toBeNull();
  });
});

describe('a step that becomes another kind', () => {
  it('keeps its time where that is usual for the kind, else takes a usual one', () => {
    expect(withKind(demoStep, 'stall').plannedS).toBe(5);
    expect(withKind(demoStep, 'endurance').plannedS).toBe(60);
    expect(withKind({ ...demoStep, kind: 'endurance', plannedS: 600 }, 'tighten').plannedS).toBe(5);
  });

  it('has a preload only as breakaway, and takes none along to another kind', () => {
    const breakaway = withKind(demoStep, 'breakaway');
    expect(breakaway.preloadNm).toBeNull();
    expect(withKind({ ...breakaway, preloadNm: 400 }, 'tighten')).not.toHaveProperty('preloadNm');
    expect(withKind({ ...breakaway, preloadNm: 400 }, 'breakaway').preloadNm).toBe(400);
  });

  it.each([...kindSchema.values])('is one that the services take, at every usual time: %s', (kind) => {
    for (const plannedS of usualTimesS[kind]) {
      expect(stepSchema.safeParse({ ...withKind(demoStep, kind), plannedS }).success).toBe(true);
    }
  });
});
