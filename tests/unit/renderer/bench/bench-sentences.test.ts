import { describe, expect, it } from 'vitest';
import { describeBench } from '../../../../renderer/bench/bench-sentences.ts';
import {
  type BenchSentences,
  type PrimaryAction,
  pressMeaning,
} from '../../../../renderer/bench/primary-action.ts';
import { AppError } from '../../../../shared-lib/app-error.ts';
import type { BenchStatus, Obstacle, TrialView } from '../../../../shared-lib/bench-status.ts';
import { demoFigures, demoStep, readyStatus } from '../../../helpers/scripted-bench.ts';

const stepText = 'Hollin H5, forward, 5\u202fs';
const trial = { step: demoStep, trialId: 't1' };

function statusIn(view: TrialView, change: Partial<BenchStatus> = {}): BenchStatus {
  return { ...readyStatus, trial: view, ...change };
}

function obstacle(remedy: Obstacle['remedy']): Obstacle {
  return { code: 'code', sentence: `Sentence about ${remedy}.`, remedy };
}

const phases: readonly {
  view: TrialView;
  next: string;
  does: PrimaryAction['does'];
  isUnderWay: boolean;
  tone: BenchSentences['tone'];
}[] = [
  {
    view: { phase: 'idle', lastProblem: null },
    next: stepText,
    does: 'start',
    isUnderWay: false,
    tone: 'calm',
  },
  {
    view: { phase: 'idle', lastProblem: 'No torque within 30 s. No trial was made.' },
    next: stepText,
    does: 'start',
    isUnderWay: false,
    tone: 'caution',
  },
  {
    view: { phase: 'countdown', step: demoStep, secondsLeft: 3 },
    next: 'Get ready',
    does: 'stop',
    isUnderWay: true,
    tone: 'calm',
  },
  {
    view: { phase: 'waiting', step: demoStep },
    next: 'Pull the trigger',
    does: 'stop',
    isUnderWay: true,
    tone: 'act',
  },
  {
    view: { phase: 'run', ...trial, onsetSlot: 10 },
    next: 'Keep pulling',
    does: 'stop',
    isUnderWay: true,
    tone: 'calm',
  },
  {
    view: { phase: 'tail', ...trial, onsetSlot: 10 },
    next: 'Release the trigger',
    does: 'stop',
    isUnderWay: true,
    tone: 'act',
  },
  {
    view: { phase: 'unloading', ...trial, prompt: 'Take the tool off.' },
    next: 'Take the load off',
    does: 'stop',
    isUnderWay: true,
    tone: 'act',
  },
  { view: { phase: 'saving', ...trial }, next: 'Saving', does: 'nothing', isUnderWay: true, tone: 'calm' },
  {
    view: { phase: 'reviewing', ...trial, quality: { verdict: 'look', reasons: [] } },
    next: 'Keep it or void it?',
    does: 'keep',
    isUnderWay: false,
    tone: 'caution',
  },
  {
    view: { phase: 'reviewing', ...trial, quality: { verdict: 'notUsable', reasons: [] } },
    next: 'Not usable: void it?',
    does: 'askVoidReason',
    isUnderWay: false,
    tone: 'caution',
  },
  {
    view: { phase: 'kept', ...trial, isVoided: false, figures: demoFigures },
    next: stepText,
    does: 'start',
    isUnderWay: false,
    tone: 'calm',
  },
  {
    view: { phase: 'interrupted', ...trial, reason: 'operator', sentence: 'Stopped at 2.1 s.' },
    next: 'Interrupted',
    does: 'start',
    isUnderWay: false,
    tone: 'caution',
  },
];

describe('describeBench', () => {
  it.each(phases)(
    'in $view.phase says "$next" and offers $does',
    ({ view, next, does, isUnderWay, tone }) => {
      const sentences = describeBench(statusIn(view), 'open', null);
      expect(sentences.next).toBe(next);
      expect(sentences.primary.does).toBe(does);
      expect(sentences.isUnderWay).toBe(isUnderWay);
      expect(sentences.tone).toBe(tone);
    },
  );

  it('keeps what it says short enough for three metres: two lines of a wide screen', () => {
    for (const { view } of phases) {
      expect(describeBench(statusIn(view), 'open', null).next.length).toBeLessThanOrEqual(40);
    }
  });

  it('never offers to stop the tool, only the recording, and only by a hold', () => {
    for (const { view } of phases) {
      const { primary } = describeBench(statusIn(view), 'open', null);
      expect(primary.label).not.toMatch(/stop(?! recording)/i);
      expect(pressMeaning(primary)).toBe(
        primary.does === 'stop' ? 'hold' : primary.does === 'nothing' ? 'none' : 'press',
      );
    }
  });

  it.each([
    ['setup', 'goTo'],
    ['calibrate', 'goTo'],
    ['zero', 'takeZero'],
    ['safety', 'showSafetyList'],
    ['sense', 'showSenseCheck'],
    ['none', 'nothing'],
  ] as const)('leads from an obstacle with remedy %s to %s, with its sentence', (remedy, does) => {
    const status = statusIn(
      { phase: 'idle', lastProblem: null },
      { obstacles: [obstacle(remedy), obstacle('none')] },
    );
    const sentences = describeBench(status, 'open', null);
    expect(sentences.primary.does).toBe(does);
    expect(sentences.detail).toBe(`Sentence about ${remedy}.`);
  });

  it('offers the remedy after a kept trial too', () => {
    const view: TrialView = { phase: 'kept', ...trial, isVoided: false, figures: demoFigures };
    const status = statusIn(view, { obstacles: [obstacle('zero')] });
    expect(describeBench(status, 'open', null).primary.does).toBe('takeZero');
  });

  it('asks what ended a run that stopped early, and keeps nothing by a press that says nothing of it', () => {
    const earlyStop = { code: 'earlyStop', severity: 'look', sentence: 'Torque fell away.' } as const;
    const view: TrialView = {
      phase: 'reviewing',
      ...trial,
      quality: { verdict: 'look', reasons: [earlyStop] },
    };
    expect(describeBench(statusIn(view), 'open', null)).toMatchObject({
      next: 'What ended it?',
      primary: { does: 'nothing' },
      tone: 'caution',
    });
    const unusable: TrialView = { ...view, quality: { verdict: 'notUsable', reasons: [earlyStop] } };
    expect(describeBench(statusIn(unusable), 'open', null).primary.does).toBe('askVoidReason');
  });

  it('starts trials without a run sheet as such, so that one that has come meanwhile is noticed', () => {
    const { primary } = describeBench(statusIn({ phase: 'idle', lastProblem: null }), 'open', null);
    expect(primary).toEqual({ does: 'start', label: 'Start', entryId: null });
  });

  it('calls the same step again a repeat, another one a start', () => {
    const view: TrialView = { phase: 'kept', ...trial, isVoided: false, figures: demoFigures };
    expect(describeBench(statusIn(view), 'open', null).primary.label).toBe('Repeat');
    const other = statusIn(view, { step: { ...demoStep, direction: 'reverse' } });
    expect(describeBench(other, 'open', null).primary.label).toBe('Start');
  });

  it('keeps the sentence of an interrupted trial in sight while the amplifier is away', () => {
    const status = statusIn(
      { phase: 'interrupted', ...trial, reason: 'disconnect', sentence: 'Amplifier lost at 3.42 s.' },
      {
        amplifier: {
          ...readyStatus.amplifier,
          link: 'reconnecting',
          problem: { code: 'port-failed', sentence: 'The port has vanished.' },
        },
        obstacles: [obstacle('setup')],
      },
    );
    const sentences = describeBench(status, 'open', null);
    expect(sentences).toMatchObject({
      next: 'Amplifier lost',
      detail: 'Amplifier lost at 3.42 s.',
      tone: 'fault',
    });
    expect(sentences.primary.does).toBe('nothing');
  });

  it('stays on the Bench while the amplifier is away or late, so that a press before it is back leads nowhere', () => {
    const primaryWhen = (link: 'reconnecting' | 'silent' | 'failed', samples: number) => {
      const { amplifier } = readyStatus;
      const away = {
        ...amplifier,
        link,
        counters: { ...amplifier.counters, samples },
        problem: { code: 'x', sentence: 'The port has vanished.' },
      };
      const status = statusIn(
        { phase: 'idle', lastProblem: null },
        { amplifier: away, obstacles: [obstacle('setup')] },
      );
      return describeBench(status, 'open', null).primary.does;
    };
    expect(primaryWhen('reconnecting', 500)).toBe('nothing');
    expect(primaryWhen('silent', 500)).toBe('nothing');
    // Nothing has come yet: what is wrong stands in Setup.
    expect(primaryWhen('silent', 0)).toBe('goTo');
    expect(primaryWhen('failed', 500)).toBe('goTo');
  });

  it('tells lines of another form from silence', () => {
    const nextWith = (badLines: number): string =>
      describeBench(
        statusIn(
          { phase: 'idle', lastProblem: null },
          {
            amplifier: {
              ...readyStatus.amplifier,
              link: 'silent',
              counters: { ...readyStatus.amplifier.counters, samples: 0, badLines },
              problem: { code: 'amplifier-silent', sentence: 'No sample comes.' },
            },
          },
        ),
        'open',
        null,
      ).next;
    expect(nextWith(12)).toBe('Lines not understood');
    expect(nextWith(0)).toBe('Amplifier silent');
  });

  it('sounds the alarm for storage first, and still lets a trial be tried where nothing stands in the way', () => {
    const status = statusIn(
      { phase: 'idle', lastProblem: null },
      { storage: { state: 'failing', sentence: 'The disk is full.', freeBytes: 0, hoursLeft: 0 } },
    );
    const sentences = describeBench(status, 'open', null);
    expect(sentences).toMatchObject({ next: 'Storage fails', detail: 'The disk is full.', tone: 'fault' });
    expect(sentences.primary.does).toBe('start');
  });

  it.each(['lost', 'refused'] as const)(
    'says that the program is not reached when the link is %s',
    (linkState) => {
      const sentences = describeBench(readyStatus, linkState, null);
      expect(sentences).toMatchObject({ tone: 'fault', primary: { does: 'nothing' }, isUnderWay: false });
    },
  );

  it('waits calmly for the first status, and says why where there is none', () => {
    expect(describeBench(null, 'connecting', null).tone).toBe('calm');
    expect(describeBench(null, 'open', null).tone).toBe('calm');
    const problem = new AppError('database-locked', 'Another program holds the database.');
    expect(describeBench(null, 'open', problem)).toMatchObject({
      tone: 'fault',
      detail: 'Another program holds the database.',
    });
  });
});
