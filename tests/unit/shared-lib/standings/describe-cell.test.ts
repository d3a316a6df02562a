import { describe, expect, it } from 'vitest';
import { computeStandings } from '../../../../shared-lib/standings/compute-standings.ts';
import { describeCell } from '../../../../shared-lib/standings/describe-cell.ts';
import type { StandingsInput } from '../../../../shared-lib/standings/standings-model.ts';
import {
  demoInput,
  demoProperty,
  demoScheme,
  demoSubject,
  demoTerm,
  forwardPace,
  forwardTorque,
  keyOf,
  propertyTerm,
  torqueTrials,
} from './demo-standings.ts';

const names = ['Hollin H5', 'Tarnwick T6', 'Brindlow B4'];
const scheme = demoScheme([
  demoTerm({ factor: 2 }),
  demoTerm({
    id: 'pace',
    label: 'Pace',
    measure: forwardPace,
    better: 'less',
    how: { way: 'shareOfBest', points: 100 },
  }),
  propertyTerm('priceKit', { label: 'Price', better: 'less', missing: 'zero' }),
]);
const base = demoInput({
  schemes: [scheme],
  subjects: names.map((name, index) =>
    demoSubject(name, [
      demoProperty('priceKit', 200 + 10 * index, { source: `${200 + 10 * index} USD, kit; at 1 USD` }),
    ]),
  ),
  trials: names.flatMap((name, index) => [
    ...torqueTrials(name, [500 - 50 * index, 500 - 50 * index]),
    { name, trialId: `${name}-pace`, values: [[forwardPace, 1 + index]] as const },
  ]),
});
const withTerm = (termId: string, change: Parameters<typeof demoTerm>[0]): StandingsInput => ({
  ...base,
  schemes: [
    {
      ...scheme,
      version: 2,
      terms: scheme.terms.map((term) => (term.id === termId ? { ...term, ...change } : term)),
    },
  ],
});

describe('what is behind a cell', () => {
  const describeOne = (name: string, termId: string, input = base) =>
    describeCell(input, computeStandings(input), keyOf(name), termId);

  it('goes from the trials over the factor to the points', () => {
    expect(describeOne('Hollin H5', 'forward')).toMatchObject({
      cell: { value: 500, points: 1000 },
      steps: [
        'Value: 500.0\u202fN·m (368.8\u202fft·lbf), the geometric mean of 2 trials (sustained torque, tighten forward 5\u202fs).',
        '1 point for each 1.0\u202fN·m (0.7\u202fft·lbf): 500 points.',
        'Times the factor 2: 1000 points.',
      ],
      sources: [],
    });
  });

  it('names the best of a share, turned over where less is better', () => {
    expect(describeOne('Tarnwick T6', 'pace').steps).toEqual([
      'Value: 2.000\u202fs, from one trial (time to 90\u202f% of its sustained torque, tighten forward 5\u202fs).',
      'The best, Hollin H5 (demo), has 1.000\u202fs and 100 points; less is better, so 100 × 1.000\u202fs / 2.000\u202fs: 50 points.',
    ]);
  });

  it('names the source of a price, and what a missing one counts', () => {
    expect(describeOne('Hollin H5', 'priceKit')).toMatchObject({
      steps: [
        'Value: 200\u202fEUR, its price of the kit.',
        '1 point taken away for each 1\u202fEUR, since less is better: −200 points.',
      ],
      sources: ['price of the kit: 200 USD, kit; at 1 USD'],
    });
    const [first, ...rest] = base.subjects;
    const without = { ...base, subjects: [{ ...first!, properties: [] }, ...rest] };
    expect(describeOne('Hollin H5', 'priceKit', without).steps).toEqual([
      'Nothing is known of its price of the kit.',
      'The scheme counts what is missing as zero points. Zero was not measured.',
    ]);
  });

  it('names the step that was reached and the cap that held', () => {
    const steps = {
      way: 'steps',
      steps: [
        { from: 400, points: 5 },
        { from: 450, points: 8 },
      ],
    } as const;
    const input = withTerm('forward', { how: { ...steps, steps: [...steps.steps] }, cap: 12 });
    expect(describeOne('Tarnwick T6', 'forward', input).steps.slice(1)).toEqual([
      'It reaches the step from 450.0\u202fN·m (331.9\u202fft·lbf): 8 points.',
      'Times the factor 2: 16 points.',
      'The cap lets through 12 points at most.',
    ]);
  });

  it('shows a torque per mass with both of its parts', () => {
    const ratio = withTerm('forward', { measure: { ...forwardTorque, of: 'ratio', per: 'priceKit' } });
    expect(describeOne('Hollin H5', 'forward', ratio).steps[1]).toBe(
      'Value: 500.0\u202fN·m (368.8\u202fft·lbf) over 200\u202fEUR is 2.500\u202fN·m (1.844\u202fft·lbf) per EUR.',
    );
  });

  it('is refused for a contender or a term that is not there', () => {
    expect(() => describeOne('Nobody', 'forward')).toThrow('not in the table');
    expect(() => describeOne('Hollin H5', 'gone')).toThrow('no such term');
  });
});
