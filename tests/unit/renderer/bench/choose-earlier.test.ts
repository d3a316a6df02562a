import { describe, expect, it } from 'vitest';
import { chooseEarlier } from '../../../../renderer/bench/use-earlier-curves.ts';
import { demoStep, demoSummary } from '../../../helpers/scripted-bench.ts';
import { demoSetup, otherSetup } from '../../../helpers/scripted-sheet.ts';

const at = (minute: number): { startedAt: string } => ({
  startedAt: `2026-01-10T09:${String(minute).padStart(2, '0')}:00.000Z`,
});

const free = { step: demoStep, setupId: null, currentId: null, isSimulated: true };

describe('chooseEarlier', () => {
  it('takes the three newest kept trials of the direction, newest first', () => {
    const trials = [1, 4, 2, 3].map((minute) => demoSummary(`t${minute}`, at(minute)));
    expect(chooseEarlier(trials, free).map(({ id }) => id)).toEqual(['t4', 't3', 't2']);
  });

  it('leaves out the trial in sight, voided ones, undecided ones and the other direction', () => {
    const trials = [
      demoSummary('current', at(9)),
      demoSummary('voided', { ...at(8), isVoided: true }),
      demoSummary('reviewing', { ...at(7), state: 'reviewing' }),
      demoSummary('reverse', { ...at(6), step: { ...demoStep, direction: 'reverse' } }),
      demoSummary('good', at(5)),
    ];
    expect(chooseEarlier(trials, { ...free, currentId: 'current' }).map(({ id }) => id)).toEqual(['good']);
  });

  it('never puts simulated trials behind real ones, nor the other way round', () => {
    const trials = [
      demoSummary('simulated', { ...at(2), isSimulated: true }),
      demoSummary('real', { ...at(1), isSimulated: false }),
    ];
    expect(chooseEarlier(trials, { ...free, isSimulated: false }).map(({ id }) => id)).toEqual(['real']);
    expect(chooseEarlier(trials, free).map(({ id }) => id)).toEqual(['simulated']);
  });

  it('takes with a run sheet those of the same setup first, then those of other setups, all of the same step', () => {
    const trials = [
      demoSummary('other setup, newest', { ...at(9), setup: otherSetup }),
      demoSummary('same, older', { ...at(1), setup: demoSetup }),
      demoSummary('same, newer', { ...at(2), setup: demoSetup }),
      demoSummary('another time', { ...at(8), setup: demoSetup, step: { ...demoStep, plannedS: 10 } }),
      demoSummary('another kind', { ...at(7), setup: demoSetup, step: { ...demoStep, kind: 'stall' } }),
      demoSummary('without a sheet', at(6)),
    ];
    const wanted = { ...free, setupId: demoSetup.setupId };
    expect(chooseEarlier(trials, wanted).map(({ id }) => id)).toEqual([
      'same, newer',
      'same, older',
      'other setup, newest',
    ]);
  });

  it('shows a trial once that two lists hold', () => {
    const trial = demoSummary('twice', { ...at(1), setup: demoSetup });
    const wanted = { ...free, setupId: demoSetup.setupId };
    expect(chooseEarlier([trial, trial], wanted)).toHaveLength(1);
  });

  it('keeps a release apart from a tightening, with a sheet and without one', () => {
    const trials = [demoSummary('breakaway', { ...at(1), step: { ...demoStep, kind: 'breakaway' } })];
    expect(chooseEarlier(trials, free)).toEqual([]);
  });
});
