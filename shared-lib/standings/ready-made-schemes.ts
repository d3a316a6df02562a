import type { ComparedStep, TrialMeasure } from '../comparison/trial-measure.ts';
import type { SchemeVersion, Term, TermMeasure, ToolProperty } from './scheme-model.ts';

const step = (direction: ComparedStep['direction'], plannedS: number): ComparedStep => ({
  kind: 'tighten',
  direction,
  plannedS,
});

const forward5 = step('forward', 5);
const reverse10 = step('reverse', 10);

const ofTrial = (compared: ComparedStep, figure: 'sustainedTorque' | 'timeTo90Percent'): TermMeasure => ({
  of: 'trial',
  step: compared,
  measure: { figure },
});
const torquePer = (per: ToolProperty): TermMeasure => {
  const measure: TrialMeasure = { figure: 'sustainedTorque' };
  return { of: 'ratio', step: forward5, measure, per };
};

/** Shares of the best, all of 100 points, so that factors alone weigh the terms. */
const share = (
  id: string,
  label: string,
  measure: TermMeasure,
  factor: number,
  rest: Partial<Pick<Term, 'better' | 'missing'>> = {},
): Term => ({
  id,
  label,
  measure,
  better: 'more',
  how: { way: 'shareOfBest', points: 100 },
  factor,
  cap: null,
  missing: 'notRanked',
  ...rest,
});

const readyMade = (schemeId: string, name: string, note: string, terms: Term[]): SchemeVersion => ({
  schemeId,
  version: 1,
  name,
  note,
  terms,
  isNormalised: true,
  operator: '',
  createdAt: '2026-01-01T00:00:00.000Z',
});

/** Named by what they do, for the steps of the ready-made plans. Nobody changes them; a copy can be changed. */
export const readyMadeSchemes: readonly SchemeVersion[] = [
  readyMade(
    'ready-strength',
    'Strength and pace',
    'Torque that is held, in both directions, and how soon it is there. Each is a share of the best, weighted three to two to one.',
    [
      share('forward', 'Forward, sustained', ofTrial(forward5, 'sustainedTorque'), 3),
      share('reverse', 'Reverse, sustained', ofTrial(reverse10, 'sustainedTorque'), 2),
      share('pace', 'Time to 90 %', ofTrial(forward5, 'timeTo90Percent'), 1, { better: 'less' }),
    ],
  ),
  readyMade(
    'ready-worth',
    'Worth its money',
    'Forward torque for the price of the kit counts twice, the price itself once.',
    [
      share('per-price', 'Torque per price', torquePer('priceKit'), 2),
      share('price', 'Price of the kit', { of: 'tool', property: 'priceKit' }, 1, { better: 'less' }),
    ],
  ),
  readyMade(
    'ready-carry',
    'Strong for its size',
    'Forward torque for what one carries and reaches with; handling is a judgement and left out where nobody rated it.',
    [
      share('per-mass', 'Torque per mass', torquePer('massLoaded'), 2),
      share('per-length', 'Torque per length', torquePer('length'), 1),
      share('handling', 'Handling', { of: 'tool', property: 'handling' }, 1, { missing: 'leaveOut' }),
    ],
  ),
  readyMade(
    'ready-all-round',
    'All-round',
    'The totals of the three other ready-made schemes, strength and pace counting twice. Whoever lacks something for one of them is ranked by the rest.',
    [
      share('strength', 'Strength and pace', { of: 'scheme', schemeId: 'ready-strength' }, 2),
      share('worth', 'Worth its money', { of: 'scheme', schemeId: 'ready-worth' }, 1, {
        missing: 'leaveOut',
      }),
      share('carry', 'Strong for its size', { of: 'scheme', schemeId: 'ready-carry' }, 1, {
        missing: 'leaveOut',
      }),
    ],
  ),
];
