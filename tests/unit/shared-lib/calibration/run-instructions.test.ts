import { describe, expect, it } from 'vitest';
import { planRun } from '../../../../shared-lib/calibration/plan-run.ts';
import { instructionFor } from '../../../../shared-lib/calibration/run-instructions.ts';
import type {
  CalibrationRun,
  RunProgress,
  RunSetup,
  TakenReading,
} from '../../../../shared-lib/calibration/run-model.ts';
import { demoArm, demoSetup, demoWeight } from '../../../helpers/run-setups.ts';

const [two, five] = [demoWeight(2), demoWeight(5)];
const stacks: Partial<RunSetup> = { levels: [[two], [five], [five, two]] };

/** A run in which the readings of `indices` were taken, in that order. */
function runAt(indices: readonly number[], change: Partial<RunSetup> = {}): CalibrationRun {
  const setup = demoSetup(3, { ...stacks, ...change });
  const readings = planRun(setup, { arm: [9.81, 24.525, 34.335], shortArm: [] });
  const taken = indices.map((index, order): TakenReading => ({
    id: order + 1,
    index,
    meanCounts: 0,
    standardDeviationCounts: 0,
    spreadCounts: 0,
    driftCountsPerS: 0,
    sampleCount: 1,
    durationS: 1,
    takenAt: '2026-03-04T05:06:07.000Z',
    by: 'steady',
    flags: [],
  }));
  const next = readings.find(({ index }) => !indices.includes(index))?.index ?? null;
  return {
    id: 'run',
    transducerId: 'transducer',
    amplifierId: null,
    isSimulated: true,
    setup,
    readings,
    taken,
    replaced: [],
    state: next === null ? 'complete' : 'running',
    nextIndex: next,
    operator: '',
    startedAt: '2026-03-04T05:00:00.000Z',
  };
}

const upTo = (count: number): number[] => Array.from({ length: count }, (_, index) => index);
const plain = (text: string): string => text.replaceAll('\u202f', ' ');

describe('the instruction for the next reading', () => {
  it.each([
    ['at the start', [], 'Leave the arm bare and let it hang free.'],
    ['the first load', upTo(1), 'Hang 2 kg on the arm: 9.81 N·m (7.24 ft·lbf) forward.'],
    [
      'a load of other weights, which must rise from nothing',
      upTo(2),
      'Take everything off, then hang 5 kg on the arm, so that the load rises: 24.5 N·m (18.1 ft·lbf) forward.',
    ],
    ['one more', upTo(3), 'Add 2 kg: 34.3 N·m (25.3 ft·lbf) forward.'],
    ['one less', upTo(4), 'Take off 2 kg: 24.5 N·m (18.1 ft·lbf) forward.'],
    ['others, falling', upTo(5), 'Take off 5 kg and hang 2 kg: 9.81 N·m (7.24 ft·lbf) forward.'],
    ['the end of the series', upTo(6), 'Take everything off and let it hang free.'],
    ['all taken', upTo(7), 'All readings are taken. Take everything off.'],
  ])('%s', (_, taken, sentence) => {
    expect(plain(instructionFor(runAt(taken)).sentence)).toBe(sentence);
  });

  it('goes by what hangs there, not by the order of the plan, after a redo', () => {
    const run = runAt([0, 2, 3, 4, 5, 6]);
    expect(plain(instructionFor(run).sentence)).toBe('Hang 2 kg on the arm: 9.81 N·m (7.24 ft·lbf) forward.');
  });

  it('has the arm taken off for the zero where its own moment counts as load', () => {
    const arm = { ...demoArm, own: { massKg: 1, densityKgM3: 7950, centreOfMassM: 0.2 } };
    expect(instructionFor(runAt([], { arm })).sentence).toContain('the arm too');
    expect(instructionFor(runAt(upTo(1), { arm })).sentence).toContain('Put the arm on and hang 2 kg on it');
  });

  it('says where in the run it is', () => {
    expect(plain(instructionFor(runAt(upTo(3))).detail)).toBe(
      'Step 3 of 3, increasing. 5 kg and 2 kg on the arm, 34.3 N·m (25.3 ft·lbf) forward.',
    );
  });

  const progress: RunProgress = {
    runId: 'run',
    index: 1,
    phase: 'held',
    meanCounts: 1,
    spreadCounts: 0,
    driftCountsPerS: 0,
    heldS: 1,
    dwellS: 1,
    flags: [{ code: 'weight-twice', sentence: 'Does it hang there twice?' }],
  };

  it('asks about a reading that is held, and says what to do', () => {
    const { sentence, detail } = instructionFor(runAt(upTo(1)), progress);
    expect(sentence).toBe('Does it hang there twice?');
    expect(detail).toContain('or take it as it is');
  });

  it('tells what a hand has to do first', () => {
    const run = runAt(upTo(7), { senses: ['forward', 'reverse'] });
    const { sentence } = instructionFor(run, { ...progress, index: 7, phase: 'waitingForHands', flags: [] });
    expect(sentence).toContain('turn the arm round');
  });

  it('says that a paused run has lost nothing', () => {
    expect(instructionFor({ ...runAt(upTo(2)), state: 'paused' }).detail).toContain('Nothing is lost');
  });
});
