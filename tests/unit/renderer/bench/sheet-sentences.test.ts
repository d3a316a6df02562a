import { describe, expect, it } from 'vitest';
import { describeBench } from '../../../../renderer/bench/bench-sentences.ts';
import type { BenchSentences } from '../../../../renderer/bench/primary-action.ts';
import {
  describeFollowing,
  describeProgress,
  describeRound,
  formatClock,
  isResting,
  roleMark,
} from '../../../../renderer/bench/sheet-sentences.ts';
import type { BenchStatus, TrialView } from '../../../../shared-lib/bench-status.ts';
import type { SheetOnBench } from '../../../../shared-lib/run-sheet/run-sheet-model.ts';
import { demoFigures, demoStep, readyStatus } from '../../../helpers/scripted-bench.ts';
import { demoEntry, demoSetup, demoSheet, otherSetup } from '../../../helpers/scripted-sheet.ts';

const idle: TrialView = { phase: 'idle', lastProblem: null };
const kept: TrialView = {
  phase: 'kept',
  step: demoStep,
  trialId: 't1',
  isVoided: false,
  figures: demoFigures,
};

function said(sheet: Partial<SheetOnBench>, change: Partial<BenchStatus> = {}): BenchSentences {
  const runSheet = { ...demoSheet, ...sheet };
  return describeBench({ ...readyStatus, trial: idle, runSheet, ...change }, 'open', null);
}

describe('the Bench with a run sheet', () => {
  it('says the next step in a sentence, how long it is, and what follows', () => {
    expect(said({})).toMatchObject({
      next: 'Hollin H5, pack 2, forward, run 2 of 3',
      detail: '5\u202fs. Then reverse, 10\u202fs.',
      mark: null,
      tone: 'calm',
      primary: { does: 'start', label: 'Start', entryId: 'e1' },
      isUnderWay: false,
    });
  });

  it('has a setup taken up first, by one press that names it and the entry that is shown', () => {
    const { next, detail, primary } = said({ isSetupInHand: false });
    expect(next).toBe('Hollin H5, pack 2, forward, run 2 of 3');
    expect(primary).toEqual({ does: 'takeUp', label: 'Take up Hollin H5, pack 2', entryId: 'e1' });
    expect(detail).toBe('Take it up, then press.');
    expect(said({ isSetupInHand: false, asks: ['packVolts'] }).detail).toMatch(/put right what has changed/);
  });

  it('waits during a rest, and starts nothing by a press', () => {
    const resting = said({ restLeftS: 41.2 });
    expect(resting.primary).toEqual({ does: 'nothing', label: 'Resting' });
    expect(resting.next).toBe('Hollin H5, pack 2, forward, run 2 of 3');
    expect(said({ restLeftS: null }).primary.does).toBe('start');
    expect(said({ restLeftS: 0 }).primary.does).toBe('start');
  });

  it('has a setup taken up while it still rests, so that the time is of use', () => {
    expect(said({ restLeftS: 41.2, isSetupInHand: false }).primary.does).toBe('takeUp');
    expect(isResting({ ...demoSheet, restLeftS: 41.2, isSetupInHand: false })).toBe(false);
  });

  it.each([
    ['conditioning', 'conditioning, not counted'],
    ['reference', 'reference'],
    ['counted', null],
  ] as const)('marks a %s pull', (role, mark) => {
    expect(roleMark(role)).toBe(mark);
    expect(said({ current: demoEntry('e1', { role }) }).mark).toBe(mark);
  });

  it('calls a pull that was tried before a repeat', () => {
    const current = demoEntry('e1', { trialIds: ['voided'] });
    expect(said({ current }).primary).toEqual({ does: 'start', label: 'Repeat', entryId: 'e1' });
    expect(
      said(
        { current },
        {
          trial: {
            phase: 'interrupted',
            step: demoStep,
            trialId: 't1',
            reason: 'disconnect',
            sentence: 'Lost.',
          },
        },
      ),
    ).toMatchObject({ next: 'Interrupted', detail: 'Lost.', primary: { label: 'Repeat', entryId: 'e1' } });
  });

  it('says after a kept trial what comes next, not what was', () => {
    const current = demoEntry('e2', { setup: otherSetup, step: { ...demoStep, toolName: 'Tarnwick T6' } });
    expect(said({ current, isSetupInHand: false, following: [] }, { trial: kept })).toMatchObject({
      next: 'Tarnwick T6, pack 1, forward, run 2 of 3',
      primary: { does: 'takeUp', label: 'Take up Tarnwick T6, pack 1' },
    });
  });

  it('ends the day once nothing is left, whatever the bench is like by then', () => {
    const through = { current: null, following: [], doneCount: 27 };
    const { amplifier } = readyStatus;
    const lost = { ...amplifier, link: 'failed', problem: { code: 'x', sentence: 'Gone.' } } as const;
    for (const change of [{}, { amplifier: lost }]) {
      expect(said(through, change)).toMatchObject({
        next: 'All pulls are done',
        primary: { does: 'endSheet', label: 'End the day', runSheetId: 'sheet-1' },
      });
    }
    expect(said(through).detail).toBe(
      '27 of 27 counted pulls done. A published result takes 5 rounds; this sheet has 3.',
    );
    expect(said({ ...through, doneCount: 26, skippedCount: 1, roundsToPublish: 3 })).toMatchObject({
      next: 'All pulls are done or skipped',
      detail: '26 of 27 counted pulls done, 1 skipped.',
    });
  });

  it('lets an alarm through at any time, and other obstacles only when a pull is to be started', () => {
    const { amplifier } = readyStatus;
    const lost = { ...amplifier, link: 'reconnecting', problem: { code: 'x', sentence: 'Gone.' } } as const;
    expect(said({ isSetupInHand: false }, { amplifier: lost })).toMatchObject({
      next: 'Amplifier lost',
      tone: 'fault',
    });
    const zero = { code: 'not-unloaded', sentence: 'Set the zero.', remedy: 'zero' } as const;
    expect(said({ isSetupInHand: false }, { obstacles: [zero] }).primary.does).toBe('takeUp');
    expect(said({}, { obstacles: [zero] }).primary.does).toBe('takeZero');
  });

  it('leaves it to the sheet to say that a setup is to be taken up, and keeps what else stands in the way', () => {
    const takeUp = { code: 'setup-not-in-hand', sentence: 'Take it up.', remedy: 'setupInHand' } as const;
    const zero = { code: 'not-unloaded', sentence: 'Set the zero.', remedy: 'zero' } as const;
    expect(said({ isSetupInHand: false }, { obstacles: [takeUp] }).primary.does).toBe('takeUp');
    expect(said({}, { obstacles: [takeUp, zero] }).primary.does).toBe('takeZero');
  });

  it('says what the hands have to do first for its kind', () => {
    const breakaway = { ...demoStep, kind: 'breakaway', preloadNm: 400 } as const;
    expect(said({ current: demoEntry('e1', { step: breakaway }), following: [] }).detail).toBe(
      'Tighten to 400\u202fN·m (295\u202fft·lbf) first, then start. 5\u202fs. It is the last one.',
    );
  });

  it('names the pull of the sheet while it is under way, with its mark', () => {
    const current = demoEntry('e1', { role: 'conditioning' });
    const run = said({ current }, { trial: { phase: 'run', step: demoStep, trialId: 't1', onsetSlot: 10 } });
    expect(run).toMatchObject({
      next: 'Keep pulling',
      detail: 'Hollin H5, pack 2, forward, conditioning pull, 5\u202fs',
      mark: 'conditioning, not counted',
    });
  });
});

describe('what follows', () => {
  it('names another setup whole, the same one not again', () => {
    const current = demoEntry('e1');
    expect(describeFollowing(current, demoEntry('e2'))).toBe('Then forward, 5\u202fs.');
    expect(describeFollowing(current, demoEntry('e2', { setup: otherSetup }))).toBe(
      'Then Tarnwick T6, pack 1, forward, 5\u202fs.',
    );
    expect(describeFollowing(current, null)).toBe('It is the last one.');
  });
});

describe('progress', () => {
  it('counts the pulls that count, and says what was skipped', () => {
    expect(describeProgress(demoSheet)).toBe('12 of 27 counted pulls done');
    expect(describeProgress({ ...demoSheet, skippedCount: 2 })).toBe(
      '12 of 27 counted pulls done, 2 skipped',
    );
  });

  it('says which round it is, and that reference pulls stand before and after all of them', () => {
    const outside = demoEntry('e1', { role: 'reference', round: 0, setup: demoSetup });
    expect(describeRound(demoSheet)).toBe('Round 2 of 3');
    expect(describeRound({ ...demoSheet, current: outside, doneCount: 0 })).toBe('Before the first round');
    expect(describeRound({ ...demoSheet, current: outside, doneCount: 27 })).toBe('After the last round');
    expect(describeRound({ ...demoSheet, current: null })).toBe('All rounds are over');
  });
});

describe('the clock of a rest', () => {
  it.each([
    [90, '1:30', ''],
    [89.01, '1:30', ''],
    [60, '1:00', ''],
    [59.2, '1:00', ''],
    [59, '59', '\u202fs'],
    [0.2, '1', '\u202fs'],
    [0, '0', '\u202fs'],
    [-3, '0', '\u202fs'],
    [3600, '60:00', ''],
  ])('shows %d s as %s%s', (leftS, digits, unit) => {
    expect(formatClock(leftS)).toEqual({ digits, unit });
  });
});
