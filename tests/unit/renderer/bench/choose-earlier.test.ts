import { describe, expect, it } from 'vitest';
import { chooseEarlier } from '../../../../renderer/bench/use-earlier-curves.ts';
import { demoStep, demoSummary } from '../../../helpers/scripted-bench.ts';

const at = (minute: number): { startedAt: string } => ({
  startedAt: `2026-01-10T09:${String(minute).padStart(2, '0')}:00.000Z`,
});

describe('chooseEarlier', () => {
  it('takes the three newest kept trials of the direction, newest first', () => {
    const trials = [1, 4, 2, 3].map((minute) => demoSummary(`t${minute}`, at(minute)));
    expect(chooseEarlier(trials, 'forward', null, true).map(({ id }) => id)).toEqual(['t4', 't3', 't2']);
  });

  it('leaves out the trial in sight, voided ones, undecided ones and the other direction', () => {
    const trials = [
      demoSummary('current', at(9)),
      demoSummary('voided', { ...at(8), isVoided: true }),
      demoSummary('reviewing', { ...at(7), state: 'reviewing' }),
      demoSummary('reverse', { ...at(6), step: { ...demoStep, direction: 'reverse' } }),
      demoSummary('good', at(5)),
    ];
    expect(chooseEarlier(trials, 'forward', 'current', true).map(({ id }) => id)).toEqual(['good']);
  });

  it('never puts simulated trials behind real ones, nor the other way round', () => {
    const trials = [
      demoSummary('simulated', { ...at(2), isSimulated: true }),
      demoSummary('real', { ...at(1), isSimulated: false }),
    ];
    expect(chooseEarlier(trials, 'forward', null, false).map(({ id }) => id)).toEqual(['real']);
    expect(chooseEarlier(trials, 'forward', null, true).map(({ id }) => id)).toEqual(['simulated']);
  });
});
