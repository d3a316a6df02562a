import { describe, expect, it } from 'vitest';
import { computeStandings } from '../../../../shared-lib/standings/compute-standings.ts';
import { standingsSchema, type Standings } from '../../../../shared-lib/standings/standings-model.ts';
import {
  demoInput,
  demoProperty,
  demoScheme,
  demoSubject,
  demoTerm,
  forwardTorque,
  keyOf,
  propertyTerm,
  torqueTrials,
  type DemoInput,
} from './demo-standings.ts';

const standingsOf = (input: DemoInput): Standings => computeStandings(demoInput(input));
const totals = ({ rows }: Standings): Record<string, number> =>
  Object.fromEntries(rows.map(({ contender, total }) => [contender.key.replace('name:', ''), total]));
const places = ({ rows }: Standings): [string, number][] =>
  rows.map(({ contender, place }) => [contender.key.replace('name:', ''), place]);
const cell = (standings: Standings, name: string, termId = 'forward') =>
  [...standings.rows, ...standings.notRanked]
    .find(({ contender }) => contender.key === keyOf(name))!
    .cells.find((candidate) => candidate.termId === termId)!;
const because = (standings: Standings, name: string): string[] =>
  standings.notRanked.find(({ contender }) => contender.key === keyOf(name))!.because;

describe('the value of a cell', () => {
  it('is the geometric mean of the trials that count', () => {
    const standings = standingsOf({
      schemes: [demoScheme([demoTerm()])],
      subjects: [demoSubject('Hollin H5')],
      // (200 · 400 · 800)^(1/3) = 400; the arithmetic mean would be 466.7.
      trials: [
        ...torqueTrials('Hollin H5', [200, 400, 800]),
        { name: 'Hollin H5', values: [[forwardTorque, 9000]], leftOutBecause: 'Voided: the cable slipped.' },
      ],
    });
    expect(cell(standings, 'Hollin H5')).toMatchObject({ value: 400, count: 3, points: 400, missing: null });
    expect(standingsSchema.safeParse(standings).success).toBe(true);
  });

  it('counts trials without a value and says so instead of taking them for zero', () => {
    const standings = standingsOf({
      schemes: [demoScheme([demoTerm()])],
      subjects: [demoSubject('Hollin H5')],
      trials: torqueTrials('Hollin H5', [500, null, -3]),
    });
    expect(cell(standings, 'Hollin H5')).toMatchObject({ value: 500, count: 1 });
    expect(standings.rows[0]!.cautions).toEqual([
      'Forward rests on one trial; how it scatters is taken from the others.',
      'Forward: 2 of its 3 trials that count have no value and are not in the mean.',
    ]);
  });

  it('is a torque per property, and a total of another scheme', () => {
    const perKg = demoTerm({ id: 'per-kg', measure: { ...forwardTorque, of: 'ratio', per: 'massLoaded' } });
    const other = demoScheme([perKg], { schemeId: 'other', name: 'Other' });
    const standings = standingsOf({
      schemes: [
        demoScheme([demoTerm({ id: 'nested', measure: { of: 'scheme', schemeId: 'other' }, factor: 2 })]),
        other,
      ],
      subjects: [demoSubject('Hollin H5', [demoProperty('massLoaded', 2.5)])],
      trials: torqueTrials('Hollin H5', [500]),
    });
    // 500 N·m over 2.5 kg is 200 points there, and twice that here.
    expect(cell(standings, 'Hollin H5', 'nested')).toMatchObject({ value: 200, points: 400 });
  });
});

describe('from values to points', () => {
  const masses = ['Hollin H5', 'Tarnwick T6', 'Brindlow B4'].map((name, index) =>
    demoSubject(name, [demoProperty('massBare', [2, 2.5, 4][index]!)]),
  );
  const ofMass = (change: Parameters<typeof propertyTerm>[1]) =>
    totals(
      standingsOf({
        schemes: [demoScheme([propertyTerm('massBare', change)])],
        subjects: masses,
        trials: [],
      }),
    );

  it('gives points for each amount, and takes them away where less is better', () => {
    const how = { way: 'perUnit', points: 3, amount: 0.5 } as const;
    expect(ofMass({ how })).toEqual({ 'Hollin H5': 12, 'Tarnwick T6': 15, 'Brindlow B4': 24 });
    expect(ofMass({ how, better: 'less' })).toEqual({
      'Hollin H5': -12,
      'Tarnwick T6': -15,
      'Brindlow B4': -24,
    });
  });

  it('gives a share of the best, turned over where less is better', () => {
    const how = { way: 'shareOfBest', points: 100 } as const;
    expect(ofMass({ how })).toEqual({ 'Hollin H5': 50, 'Tarnwick T6': 62.5, 'Brindlow B4': 100 });
    expect(ofMass({ how, better: 'less' })).toEqual({
      'Hollin H5': 100,
      'Tarnwick T6': 80,
      'Brindlow B4': 50,
    });
  });

  it('gives a share of a reference, a contender or a fixed value', () => {
    const of = (
      reference: { is: 'contender'; key: string } | { is: 'value'; value: number },
      better: 'more' | 'less',
    ) => ofMass({ how: { way: 'shareOfReference', points: 10, reference }, better });
    expect(of({ is: 'contender', key: keyOf('Tarnwick T6') }, 'more')).toEqual({
      'Hollin H5': 8,
      'Tarnwick T6': 10,
      'Brindlow B4': 16,
    });
    expect(of({ is: 'value', value: 4 }, 'less')).toEqual({
      'Hollin H5': 20,
      'Tarnwick T6': 16,
      'Brindlow B4': 10,
    });
  });

  it('gives the points of the last step that is reached, from below or from above', () => {
    const steps = [
      { from: 2, points: 5 },
      { from: 3, points: 9 },
    ];
    expect(ofMass({ how: { way: 'steps', steps } })).toEqual({
      'Hollin H5': 5,
      'Tarnwick T6': 5,
      'Brindlow B4': 9,
    });
    const falling = [
      { from: 2, points: 9 },
      { from: 3, points: 5 },
    ];
    // Up to 2 kg nine points, up to 3 kg five, none above.
    expect(ofMass({ how: { way: 'steps', steps: falling }, better: 'less' })).toEqual({
      'Hollin H5': 9,
      'Tarnwick T6': 5,
      'Brindlow B4': 0,
    });
  });

  it('multiplies by the factor, then caps', () => {
    const standings = standingsOf({
      schemes: [demoScheme([propertyTerm('massBare', { factor: 2, cap: 5 })])],
      subjects: masses,
      trials: [],
    });
    expect(totals(standings)).toEqual({ 'Hollin H5': 4, 'Tarnwick T6': 5, 'Brindlow B4': 5 });
    // 2 · 2.5 is the cap itself and loses nothing by it.
    expect(cell(standings, 'Tarnwick T6', 'massBare').isCapped).toBe(false);
    expect(cell(standings, 'Brindlow B4', 'massBare').isCapped).toBe(true);
  });
});

describe('a cap', () => {
  it('is told only of points that are in the table', () => {
    const standings = standingsOf({
      schemes: [demoScheme([demoTerm({ cap: 50 }), propertyTerm('massBare')])],
      subjects: [
        demoSubject('Hollin H5', [demoProperty('massBare', 2)]),
        demoSubject('Tarnwick T6', [demoProperty('massBare', null)]),
        demoSubject('Brindlow B4', [demoProperty('massBare', 2)]),
      ],
      trials: [
        ...torqueTrials('Hollin H5', [100]),
        ...torqueTrials('Tarnwick T6', [100]),
        ...torqueTrials('Brindlow B4', [50]),
      ],
    });
    expect(cell(standings, 'Hollin H5')).toMatchObject({ points: 50, isCapped: true });
    expect(cell(standings, 'Tarnwick T6')).toMatchObject({ points: null, isCapped: false });
    // Exactly as much as the cap allows.
    expect(cell(standings, 'Brindlow B4')).toMatchObject({ points: 50, isCapped: false });
  });
});

describe('what is missing', () => {
  const schemeWith = (missing: 'leaveOut' | 'zero' | 'notRanked', isNormalised = false) =>
    demoScheme([demoTerm({ factor: 3 }), propertyTerm('massBare', { missing, factor: 1 })], { isNormalised });
  const input = (missing: 'leaveOut' | 'zero' | 'notRanked', isNormalised = false): DemoInput => ({
    schemes: [schemeWith(missing, isNormalised)],
    subjects: [
      demoSubject('Hollin H5', [demoProperty('massBare', 2)]),
      demoSubject('Tarnwick T6', [demoProperty('massBare', null)]),
    ],
    trials: [...torqueTrials('Hollin H5', [100]), ...torqueTrials('Tarnwick T6', [100])],
  });

  it('is left out of a sum, and of what a normalised sum is divided by', () => {
    expect(totals(standingsOf(input('leaveOut')))).toEqual({ 'Hollin H5': 302, 'Tarnwick T6': 300 });
    expect(totals(standingsOf(input('leaveOut', true)))).toEqual({ 'Hollin H5': 75.5, 'Tarnwick T6': 100 });
  });

  it('counts as zero where the scheme says so, marked as missing and told beside the place', () => {
    const standings = standingsOf(input('zero', true));
    expect(totals(standings)).toEqual({ 'Hollin H5': 75.5, 'Tarnwick T6': 75 });
    expect(cell(standings, 'Tarnwick T6', 'massBare')).toMatchObject({
      value: null,
      points: 0,
      missing: 'No massBare is entered.',
    });
    expect(standings.rows[1]!.cautions[1]).toBe(
      'massBare counts as zero points because it is missing, not because it was measured: No massBare is entered.',
    );
  });

  it('leaves a contender unranked with every reason', () => {
    const standings = standingsOf({
      schemes: [demoScheme([demoTerm(), propertyTerm('massBare')])],
      subjects: [
        demoSubject('Hollin H5', [demoProperty('massBare', null)]),
        demoSubject('Tarnwick T6', [demoProperty('massBare', 2)], {
          notRankedBecause: 'It is in two classes.',
        }),
        demoSubject('Brindlow B4', [demoProperty('massBare', 2)]),
      ],
      trials: torqueTrials('Hollin H5', [100, 90], { leftOutBecause: 'Voided: slipped.' }),
    });
    expect(standings.rows).toEqual([]);
    expect(because(standings, 'Hollin H5')).toEqual([
      'Forward: None of its 2 trials of this step counts: Voided: slipped (2).',
      'massBare: No massBare is entered.',
    ]);
    expect(because(standings, 'Tarnwick T6')).toEqual([
      'It is in two classes.',
      'Forward: It has no trial of this step.',
    ]);
    expect(because(standings, 'Brindlow B4')).toEqual(['Forward: It has no trial of this step.']);
    // A value is shown, points are not: nobody could check them against the table.
    expect(cell(standings, 'Brindlow B4', 'massBare')).toMatchObject({
      value: 2,
      points: null,
      count: 0,
    });
  });

  it('never ranks by nothing at all', () => {
    const standings = standingsOf({
      schemes: [
        demoScheme([demoTerm({ missing: 'zero' }), propertyTerm('massBare', { missing: 'leaveOut' })]),
      ],
      subjects: [demoSubject('Hollin H5')],
      trials: [],
    });
    expect(because(standings, 'Hollin H5')).toEqual([
      'It has no value for any term.',
      'Forward: It has no trial of this step.',
      'massBare: Nothing is known of its bare mass.',
    ]);
  });

  it('is everybody’s where the reference is not there, or has nothing', () => {
    const withReference = (key: string) =>
      standingsOf({
        schemes: [
          demoScheme([
            demoTerm({ how: { way: 'shareOfReference', points: 100, reference: { is: 'contender', key } } }),
          ]),
        ],
        subjects: [demoSubject('Hollin H5'), demoSubject('Corvane C8')],
        trials: torqueTrials('Hollin H5', [100]),
      });
    expect(because(withReference(keyOf('Nobody N1')), 'Hollin H5')).toEqual([
      'Forward: The reference that its share is taken of is not in the table. Choose another one in the scheme.',
    ]);
    expect(because(withReference(keyOf('Corvane C8')), 'Hollin H5')).toEqual([
      'Forward: The reference, Corvane C8 (demo), has no value of its own here.',
    ]);
  });

  it('is a total of a scheme that goes in a circle or that nobody knows', () => {
    const nested = (schemeId: string) => demoTerm({ measure: { of: 'scheme', schemeId } });
    const subjects = [demoSubject('Hollin H5')];
    const circle = standingsOf({
      schemes: [
        demoScheme([nested('other')]),
        demoScheme([nested('main')], { schemeId: 'other', name: 'Other' }),
      ],
      subjects,
      trials: [],
    });
    expect(because(circle, 'Hollin H5')).toEqual([
      'Forward: It is not ranked by “Other”. Forward: The schemes refer to each other in a circle.',
    ]);
    const unknown = standingsOf({ schemes: [demoScheme([nested('gone')])], subjects, trials: [] });
    expect(because(unknown, 'Hollin H5')).toEqual([
      'Forward: The scheme that it takes the total of is not known here.',
    ]);
  });

  it('cannot be normalised where the factors that remain sum to zero or less', () => {
    const standings = standingsOf({
      schemes: [
        demoScheme(
          [
            demoTerm({ missing: 'leaveOut' }),
            propertyTerm('massBare', { factor: -1, missing: 'leaveOut' }),
            propertyTerm('length', { factor: 2, missing: 'leaveOut' }),
          ],
          { isNormalised: true },
        ),
      ],
      subjects: [
        demoSubject('Hollin H5', [demoProperty('massBare', 2)]),
        demoSubject('Tarnwick T6', [demoProperty('massBare', 2)]),
      ],
      trials: torqueTrials('Hollin H5', [100]),
    });
    expect(because(standings, 'Hollin H5')).toEqual([
      'The factors of the terms for which it has values sum to zero, so its total cannot be normalised.',
    ]);
    expect(because(standings, 'Tarnwick T6')[0]).toContain('sum to less than zero');
  });

  it('does not take for more than zero what rounding leaves of the factors', () => {
    // 0.1 + 0.2 - 0.3 comes to 5.6e-17.
    const standings = standingsOf({
      schemes: [
        demoScheme(
          [
            demoTerm({ factor: 0.1 }),
            propertyTerm('massBare', { factor: 0.2 }),
            propertyTerm('length', { factor: -0.3 }),
          ],
          { isNormalised: true },
        ),
      ],
      subjects: [demoSubject('Hollin H5', [demoProperty('massBare', 2), demoProperty('length', 200)])],
      trials: torqueTrials('Hollin H5', [100]),
    });
    expect(because(standings, 'Hollin H5')).toEqual([
      'The factors of the terms for which it has values sum to zero, so its total cannot be normalised.',
    ]);
  });

  it('is normalised by factors however small they all are', () => {
    const standings = standingsOf({
      schemes: [demoScheme([demoTerm({ factor: 1e-13 })], { isNormalised: true })],
      subjects: [demoSubject('Hollin H5')],
      trials: torqueTrials('Hollin H5', [100]),
    });
    expect(standings.rows[0]?.total).toBeCloseTo(100, 9);
  });

  it('is nothing of those that are not to be ranked for another reason, and they are nobody’s best', () => {
    const standings = standingsOf({
      schemes: [demoScheme([demoTerm({ how: { way: 'shareOfBest', points: 100 } })])],
      subjects: [
        demoSubject('Hollin H5'),
        demoSubject('Tarnwick T6', [], { notRankedBecause: 'It is in two classes.' }),
      ],
      trials: [...torqueTrials('Hollin H5', [400]), ...torqueTrials('Tarnwick T6', [800])],
    });
    expect(totals(standings)).toEqual({ 'Hollin H5': 100 });
    expect(because(standings, 'Tarnwick T6')).toEqual(['It is in two classes.']);
  });

  it('does not make the best of somebody who is not ranked', () => {
    const standings = standingsOf({
      schemes: [
        demoScheme([
          demoTerm({ how: { way: 'shareOfBest', points: 100 } }),
          propertyTerm('massBare', { factor: 0 }),
        ]),
      ],
      subjects: [demoSubject('Hollin H5', [demoProperty('massBare', 2)]), demoSubject('Tarnwick T6')],
      trials: [...torqueTrials('Hollin H5', [400]), ...torqueTrials('Tarnwick T6', [800])],
    });
    expect(totals(standings)).toEqual({ 'Hollin H5': 100 });
  });
});

describe('places', () => {
  it('are shared by ties, the next standing where it would without them (1, 2, 2, 4)', () => {
    const standings = standingsOf({
      schemes: [demoScheme([demoTerm()])],
      subjects: ['Hollin H5', 'Tarnwick T6', 'Brindlow B4', 'Corvane C8'].map((name) => demoSubject(name)),
      trials: [
        ...torqueTrials('Hollin H5', [300]),
        ...torqueTrials('Tarnwick T6', [500]),
        ...torqueTrials('Brindlow B4', [400]),
        // The geometric mean of 200 and 800 is 400 too.
        ...torqueTrials('Corvane C8', [200, 800]),
      ],
    });
    expect(places(standings)).toEqual([
      ['Tarnwick T6', 1],
      ['Brindlow B4', 2],
      ['Corvane C8', 2],
      ['Hollin H5', 4],
    ]);
  });

  it('that are shared go by name, and those of one name by what else tells them apart', () => {
    const called = (name: string, label: string) => {
      const subject = demoSubject(name);
      return { ...subject, contender: { ...subject.contender, label } };
    };
    const standings = standingsOf({
      schemes: [demoScheme([demoTerm()])],
      subjects: [called('c', 'Same (demo)'), called('b', 'Same (demo)'), called('d', 'Other (demo)')],
      trials: ['b', 'c', 'd'].flatMap((name) => torqueTrials(name, [100])),
    });
    expect(standings.rows.map(({ contender }) => contender.key)).toEqual(['d', 'b', 'c'].map(keyOf));
  });

  it('are not parted by the last binary digits of equal totals', () => {
    const standings = standingsOf({
      schemes: [demoScheme([propertyTerm('massBare'), propertyTerm('length')])],
      subjects: [
        demoSubject('Hollin H5', [demoProperty('massBare', 0.1), demoProperty('length', 0.2)]),
        demoSubject('Tarnwick T6', [demoProperty('massBare', 0.15), demoProperty('length', 0.15)]),
      ],
      trials: [],
    });
    expect(0.1 + 0.2).not.toBe(0.15 + 0.15);
    expect(standings.rows.map(({ place }) => place)).toEqual([1, 1]);
  });

  it('come with what is to be known of the table', () => {
    const { cautions } = standingsOf({
      schemes: [
        demoScheme([
          demoTerm({ how: { way: 'shareOfBest', points: 100 } }),
          propertyTerm('handling', { label: 'Handling', missing: 'leaveOut' }),
        ]),
      ],
      subjects: [demoSubject('Hollin H5', [demoProperty('handling', 7)]), demoSubject('Tarnwick T6')],
      trials: [
        ...torqueTrials('Hollin H5', [400, 410]),
        ...torqueTrials('Tarnwick T6', [420, 430], { sessionId: 'session 2', calibrationId: 'cal 2' }),
      ],
    });
    expect(cautions.map((caution) => caution.slice(0, 60))).toEqual(
      [
        'Forward: a share of the best moves for everybody when a bette',
        'Handling is a judgement of those who rated it, not a measure',
        'Sustained torque, tighten forward 5\u202fs: across sessions, day-t',
        'Sustained torque, tighten forward 5\u202fs: read by 2 calibrations',
        'Some totals are sums over fewer terms than others: what a co',
      ].map((caution) => caution.slice(0, 60)),
    );
  });

  it('say of days the same as the ranges do: unknown, known from three days only, or nothing', () => {
    const saidOf = (dayToDay: { standardDeviation: number; degreesOfFreedom: number } | null) =>
      standingsOf({
        schemes: [demoScheme([demoTerm()])],
        subjects: [demoSubject('Hollin H5'), demoSubject('Tarnwick T6')],
        trials: [
          ...torqueTrials('Hollin H5', [400, 410]),
          ...torqueTrials('Tarnwick T6', [420, 430], { sessionId: 'session 2' }),
        ],
        rest: { dayToDay: [dayToDay] },
      }).cautions;
    const about = 'Sustained torque, tighten forward 5\u202fs: across sessions, day-to-day scatter';
    const end = 'Contenders of different days are not told apart by it.';
    expect(saidOf(null)).toEqual([`${about} unknown. ${end}`]);
    expect(saidOf({ standardDeviation: 0.01, degreesOfFreedom: 2 })).toEqual([
      `${about} known from three days only, too little for a range; pull the reference tool on a fourth day. ${end}`,
    ]);
    expect(saidOf({ standardDeviation: 0.01, degreesOfFreedom: 3 })).toEqual([]);
  });
});
