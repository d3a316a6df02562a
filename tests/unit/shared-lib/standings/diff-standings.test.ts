import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import '../../../helpers/seed-of-chance.ts';
import { computeStandings } from '../../../../shared-lib/standings/compute-standings.ts';
import { diffStandings } from '../../../../shared-lib/standings/diff-standings.ts';
import {
  standingsChangeSchema,
  type ScoredTrial,
  type StandingsInput,
} from '../../../../shared-lib/standings/standings-model.ts';
import {
  demoInput,
  demoProperty,
  demoScheme,
  demoSubject,
  demoTerm,
  forwardPace,
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
const state = (input: StandingsInput) => ({ input, standings: computeStandings(input) });
const diff = (to: StandingsInput, from = base) => diffStandings(state(from), state(to));
/** "Hollin H5 forward" for each cell that moved. */
const moved = (to: StandingsInput, from = base): string[] =>
  diff(to, from)
    .changes.flatMap(({ key, cells }) => cells.map(({ termId }) => `${key.slice(5)} ${termId}`))
    .sort();
const reasons = (to: StandingsInput, name: string, termId: string, from = base): string[] =>
  diff(to, from)
    .changes.find(({ key }) => key === keyOf(name))!
    .cells.find((cell) => cell.termId === termId)!.because;
const withTrial = (trialId: string, change: Partial<ScoredTrial>): StandingsInput => ({
  ...base,
  trials: base.trials.map((trial) => (trial.trialId === trialId ? { ...trial, ...change } : trial)),
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

describe('what moved', () => {
  it('is nothing where nothing is other', () => {
    expect(diff(structuredClone(base))).toEqual({ changes: [], sentences: [] });
  });

  it('is the one cell whose trial was voided, with the trial and the reason', () => {
    const voided = withTrial('Hollin H5-1', { leftOutBecause: 'Voided: the cable slipped.' });
    // The mean stays at 500 N·m, but one trial fewer is behind it.
    expect(moved(voided)).toEqual(['Hollin H5 forward']);
    expect(reasons(voided, 'Hollin H5', 'forward')).toEqual([
      'The trial of 2026-03-10 09:00 UTC does not count any more: Voided: the cable slipped.',
    ]);
  });

  it('is the one cell that another calibration reads otherwise', () => {
    const other = {
      ...withTrial('Hollin H5-1', {
        calibrationId: 'cal 2',
        evaluationId: 9,
        values: [{ measure: 0, value: 505 }],
      }),
      calibrations: [
        ...base.calibrations,
        { calibrationId: 'cal 2', label: 'Demo calibration 2', uncertainty: 0.002 },
      ],
    };
    expect(moved(other)).toEqual(['Hollin H5 forward']);
    expect(reasons(other, 'Hollin H5', 'forward')).toEqual([
      'The trial of 2026-03-10 09:00 UTC is read by Demo calibration 2 now, before by Demo calibration 1: 505.0\u202fN·m (372.5\u202fft·lbf), was 500.0\u202fN·m (368.8\u202fft·lbf).',
    ]);
  });

  it('is everybody’s cell of a share where the best one moved, and says what the best did', () => {
    const slower = withTrial('Hollin H5-pace', { evaluationId: 4, values: [{ measure: 1, value: 1.5 }] });
    expect(moved(slower)).toEqual(['Brindlow B4 pace', 'Hollin H5 pace', 'Tarnwick T6 pace']);
    expect(reasons(slower, 'Tarnwick T6', 'pace')).toEqual([
      'The best is Hollin H5 (demo) with 1.500\u202fs, was Hollin H5 (demo) with 1.000\u202fs.',
      'Hollin H5 (demo): The trial of 2026-03-10 09:02 UTC was measured anew: 1.500\u202fs, was 1.000\u202fs.',
    ]);
  });

  it('is the cell of a price, with its sources and the rate', () => {
    const [first, ...rest] = base.subjects;
    const dearer = {
      ...base,
      subjects: [
        { ...first!, properties: [demoProperty('priceKit', 220, { source: '200 USD, kit; at 1.1 USD' })] },
        ...rest,
      ],
      rates: [{ currency: 'USD', inCurrency: 'EUR', rate: 1.1, on: '2026-03-02', source: 'demo' }],
    };
    expect(moved(dearer)).toEqual(['Hollin H5 priceKit']);
    expect(reasons(dearer, 'Hollin H5', 'priceKit')).toEqual([
      'Price of the kit: is 220\u202fEUR (200 USD, kit; at 1.1 USD); was 200\u202fEUR (200 USD, kit; at 1 USD).',
      'A rate was entered: 1 USD is 1.1 EUR from 2026-03-02 on.',
    ]);
    expect(diff(dearer).sentences).toEqual(['A rate was entered: 1 USD is 1.1 EUR from 2026-03-02 on.']);
  });

  it('is the column of a term whose factor changed, named as that', () => {
    const heavier = withTerm('forward', { factor: 3 });
    expect(moved(heavier)).toEqual(['Brindlow B4 forward', 'Hollin H5 forward', 'Tarnwick T6 forward']);
    expect(reasons(heavier, 'Hollin H5', 'forward')).toEqual(['The scheme changed: its factor is 3, was 2.']);
    expect(diff(heavier).sentences).toEqual([
      'The scheme “Demo scheme” has version 2 now, before 1.',
      '“Forward”: its factor is 3, was 2.',
    ]);
  });

  it('is told of all trials that another calibration reads at once', () => {
    const all = {
      ...base,
      trials: base.trials.map((trial) =>
        trial.values[0]!.measure === 0
          ? {
              ...trial,
              calibrationId: 'cal 2',
              values: [{ measure: 0, value: 0.99 * trial.values[0]!.value! }],
            }
          : trial,
      ),
    };
    expect(reasons(all, 'Brindlow B4', 'forward')).toEqual([
      '2 trials are read by cal 2 now, before by Demo calibration 1: 1.00\u202f% less on average.',
    ]);
  });

  it('is a trial that came, several at once, or one that counts for another tool now', () => {
    const more = {
      ...base,
      trials: [
        ...base.trials,
        ...[1, 2, 3].map((number) => ({ ...base.trials[0]!, trialId: `new ${number}` })),
      ],
    };
    expect(reasons(more, 'Hollin H5', 'forward')).toEqual(['3 trials came.']);
    const renamed = withTrial('Hollin H5-2', { key: keyOf('Brindlow B4') });
    expect(moved(renamed)).toEqual(['Brindlow B4 forward', 'Hollin H5 forward']);
    expect(reasons(renamed, 'Hollin H5', 'forward')).toEqual([
      'The trial of 2026-03-10 09:01 UTC counts for Brindlow B4 (demo) now.',
    ]);
    expect(reasons(renamed, 'Brindlow B4', 'forward')).toEqual([
      'The trial of 2026-03-10 09:01 UTC counts for it now, before for Hollin H5 (demo).',
    ]);
  });

  it('is a time that nobody asked for, where an earlier version did not tell it from one not reached', () => {
    const slow = (value: ScoredTrial['values'][number]): StandingsInput =>
      withTrial('Brindlow B4-pace', { values: [value] });
    const notReached = slow({ measure: 1, value: null });
    const notAsked = slow({ measure: 1, value: null, wasAsked: false });
    expect(moved(notAsked, notReached)).toEqual(['Brindlow B4 pace']);
    expect(reasons(notAsked, 'Brindlow B4', 'pace', notReached)).toEqual([
      'The trial of 2026-03-10 09:08 UTC was measured without the time to this torque being asked for.',
    ]);
    expect(reasons(notReached, 'Brindlow B4', 'pace', notAsked)).toEqual([
      'The trial of 2026-03-10 09:08 UTC was measured with the time to this torque asked for, and has none.',
    ]);
  });

  it('is told through the scheme that a total comes from', () => {
    const nest = (input: StandingsInput): StandingsInput => ({
      ...input,
      table: { ...input.table, schemeId: 'top' },
      schemes: [
        demoScheme(
          [demoTerm({ id: 'nested', label: 'Nested', measure: { of: 'scheme', schemeId: 'main' } })],
          { schemeId: 'top', name: 'Top' },
        ),
        ...input.schemes,
      ],
    });
    const because = reasons(
      nest(
        withTrial('Hollin H5-1', {
          leftOutBecause: 'Voided: slipped.',
          values: [{ measure: 0, value: 500 }],
        }),
      ),
      'Hollin H5',
      'nested',
      nest(withTrial('Hollin H5-1', { values: [{ measure: 0, value: 550 }] })),
    );
    expect(because).toHaveLength(2);
    expect(because[0]).toMatch(/^Its total of “Demo scheme” is 900 points, was 948\.81 points\.$/);
    expect(because[1]).toBe(
      'In “Demo scheme”, Forward: The trial of 2026-03-10 09:00 UTC does not count any more: Voided: slipped.',
    );
  });

  it('is a place without a cell where somebody else went past, came or left', () => {
    const strong = (['Tarnwick T6-1', 'Tarnwick T6-2'] as const).reduce<StandingsInput>(
      (input, trialId) => ({
        ...input,
        trials: input.trials.map((trial) =>
          trial.trialId === trialId
            ? { ...trial, evaluationId: 2, values: [{ measure: 0, value: 600 }] }
            : trial,
        ),
      }),
      base,
    );
    const hollin = diff(strong).changes.find(({ key }) => key === keyOf('Hollin H5'))!;
    expect(hollin).toMatchObject({
      fromPlace: 1,
      toPlace: 2,
      cells: [],
      because: ['Tarnwick T6 (demo) went past it.'],
    });
    const without = diff({ ...base, subjects: base.subjects.slice(1) }).changes;
    expect(without.find(({ key }) => key === keyOf('Hollin H5'))).toMatchObject({
      fromPlace: 1,
      toPlace: null,
      toTotal: null,
    });
  });

  it('says why somebody is not ranked any more', () => {
    const none = {
      ...base,
      trials: base.trials.map((trial) =>
        trial.trialId.startsWith('Brindlow B4-') && trial.values[0]!.measure === 0
          ? { ...trial, leftOutBecause: 'Voided: all of them.' }
          : trial,
      ),
    };
    expect(moved(none)).toEqual(['Brindlow B4 forward', 'Brindlow B4 pace', 'Brindlow B4 priceKit']);
    expect(reasons(none, 'Brindlow B4', 'priceKit')).toEqual([
      'It is not ranked any more: Forward: None of its 2 trials of this step counts: Voided: all of them (2).',
    ]);
  });
});

describe('any change of one input', () => {
  const change = fc.oneof(
    fc.record({
      what: fc.constant('value' as const),
      index: fc.nat(8),
      value: fc.integer({ min: 1, max: 900 }),
    }),
    fc.record({ what: fc.constant('void' as const), index: fc.nat(8), value: fc.constant(0) }),
    fc.record({
      what: fc.constant('price' as const),
      index: fc.nat(2),
      value: fc.integer({ min: 100, max: 300 }),
    }),
    fc.record({
      what: fc.constant('factor' as const),
      index: fc.nat(2),
      value: fc.integer({ min: 1, max: 5 }),
    }),
  );
  const apply = ({
    what,
    index,
    value,
  }: {
    what: 'value' | 'void' | 'price' | 'factor';
    index: number;
    value: number;
  }): StandingsInput => {
    switch (what) {
      case 'value':
        return {
          ...base,
          trials: base.trials.map((trial, place) =>
            place === index
              ? { ...trial, evaluationId: 2, values: trial.values.map((own) => ({ ...own, value })) }
              : trial,
          ),
        };
      case 'void':
        return {
          ...base,
          trials: base.trials.map((trial, place) =>
            place === index ? { ...trial, leftOutBecause: 'Voided.' } : trial,
          ),
        };
      case 'price':
        return {
          ...base,
          subjects: base.subjects.map((subject, place) =>
            place === index ? { ...subject, properties: [demoProperty('priceKit', value)] } : subject,
          ),
        };
      case 'factor':
        return withTerm(scheme.terms[index]!.id, { factor: value });
    }
  };

  it('moves exactly the cells that are other in a computation from nothing, each with a reason', () => {
    fc.assert(
      fc.property(change, (one) => {
        const to = apply(one);
        const [before, after] = [state(base).standings, state(to).standings].map(
          ({ rows, notRanked }) =>
            new Map(
              [...rows, ...notRanked].flatMap(({ contender, cells }) =>
                cells.map(
                  (cell) => [`${contender.key.slice(5)} ${cell.termId}`, JSON.stringify(cell)] as const,
                ),
              ),
            ),
        );
        const wanted = [...after!.keys()].filter((name) => before!.get(name) !== after!.get(name)).sort();
        expect(moved(to)).toEqual(wanted);
        for (const entry of diff(to).changes) {
          expect(standingsChangeSchema.safeParse(entry).success).toBe(true);
          for (const { because } of entry.cells) expect(because.length).toBeGreaterThan(0);
          if (entry.cells.length === 0) expect(entry.because.length).toBeGreaterThan(0);
        }
      }),
    );
  });

  it('never moves a cell of another measure, and one of another tool only through a share of the best', () => {
    fc.assert(
      fc.property(change, (one) => {
        for (const name of moved(apply(one))) {
          const termId = name.split(' ').at(-1)!;
          if (one.what === 'price') expect(name).toBe(`${names[one.index]} priceKit`);
          else if (one.what === 'factor') expect(termId).toBe(scheme.terms[one.index]!.id);
          else if (one.what === 'value' && base.trials[one.index]!.values[0]!.measure === 0) {
            expect(name).toBe(`${base.trials[one.index]!.key.slice(5)} forward`);
          }
        }
      }),
    );
  });
});
