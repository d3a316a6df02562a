import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import '../../../helpers/seed-of-chance.ts';
import { computeStandings } from '../../../../shared-lib/standings/compute-standings.ts';
import { findSensitivity } from '../../../../shared-lib/standings/sensitivity.ts';
import { doAtOnce } from '../../../../shared-lib/work-in-pieces.ts';
import type { Term, ToolProperty } from '../../../../shared-lib/standings/scheme-model.ts';
import { sensitivitySchema, type Sensitivity } from '../../../../shared-lib/standings/standings-model.ts';
import { demoInput, demoProperty, demoScheme, demoSubject, keyOf, propertyTerm } from './demo-standings.ts';

const names = ['Hollin H5', 'Tarnwick T6', 'Brindlow B4', 'Corvane C8'];
const properties = ['massBare', 'length', 'declaredVibration'] as const satisfies readonly ToolProperty[];
/** A row of values per tool, a point for each. */
const inputOf = (terms: Term[], values: readonly (readonly (number | null)[])[], isNormalised = false) =>
  demoInput({
    schemes: [demoScheme(terms, { isNormalised })],
    subjects: values.map((row, index) =>
      demoSubject(
        names[index]!,
        row.map((value, place) => demoProperty(properties[place]!, value)),
      ),
    ),
    trials: [],
  });
const sensitivityOf = (input: ReturnType<typeof inputOf>, weightingCount = 4000): Sensitivity =>
  doAtOnce(findSensitivity(input, computeStandings(input), { seed: 3, weightingCount }));
const term = (place: number, change: Partial<Term> = {}): Term => propertyTerm(properties[place]!, change);

describe('the factor at which the order changes', () => {
  it('is exact for sums', () => {
    // f · 10 + 4 against f · 8 + 7 meet at f = 1.5; the third, f · 2 + 1, meets nobody above zero but at (none).
    const { terms } = sensitivityOf(
      inputOf(
        [term(0, { factor: 2 }), term(1)],
        [
          [10, 4],
          [8, 7],
          [2, 1],
        ],
      ),
    );
    expect(terms[0]).toMatchObject({ orderKeptTo: null, leaderKeptTo: null });
    expect(terms[0]!.orderKeptFrom).toBeCloseTo(1.5, 12);
    expect(terms[0]!.leaderKeptFrom).toBeCloseTo(1.5, 12);
    // In the other term 20 + 4 g against 16 + 7 g meet at g = 4/3.
    expect(terms[1]!.leaderKeptTo).toBeCloseTo(4 / 3, 12);
    expect(terms[1]!.orderKeptFrom).toBeNull();
    expect(terms[0]!.without).toEqual([
      { key: keyOf('Hollin H5'), place: 2 },
      { key: keyOf('Tarnwick T6'), place: 1 },
    ]);
    expect(terms[0]!.doubled).toEqual([]);
  });

  it('is looked for up to ten times the factor', () => {
    // f + 10 against 2 f meet at f = 10, five times the factor of 2; at 30 they would be beyond it.
    const limitOf = (lead: number) =>
      sensitivityOf(
        inputOf(
          [term(0, { factor: 2 }), term(1)],
          [
            [1, lead],
            [2, 0],
          ],
        ),
      ).terms[0]!;
    expect(limitOf(10).orderKeptTo).toBeCloseTo(10, 12);
    expect(limitOf(10).leaderKeptTo).toBeCloseTo(10, 12);
    expect(limitOf(30)).toMatchObject({ orderKeptTo: null, leaderKeptTo: null });
  });

  it('lies beyond the kink of a cap', () => {
    // min(10 f, 12) + 0 against 5 f + 4: the first leads from f = 0.8 until 12 = 5 f + 4, f = 1.6.
    const { terms } = sensitivityOf(
      inputOf(
        [term(0, { cap: 12 }), term(1)],
        [
          [10, 0],
          [5, 4],
        ],
      ),
    );
    expect(terms[0]!.leaderKeptFrom).toBeCloseTo(0.8, 12);
    expect(terms[0]!.leaderKeptTo).toBeCloseTo(1.6, 12);
  });

  it('takes in that what is left out is not divided by', () => {
    // (6 f + 2) / (f + 1) against 3 alone: equal at f = 1/3.
    const leaveOut = { missing: 'leaveOut' } as const;
    const { terms } = sensitivityOf(
      inputOf(
        [term(0, leaveOut), term(1, leaveOut)],
        [
          [6, 2],
          [null, 3],
        ],
        true,
      ),
    );
    expect(terms[0]!.leaderKeptFrom).toBeCloseTo(1 / 3, 12);
    expect(terms[0]!.leaderKeptTo).toBeNull();
  });

  it('is the factor itself where a tie is parted by any change', () => {
    const { terms } = sensitivityOf(
      inputOf(
        [term(0), term(1)],
        [
          [3, 5],
          [5, 3],
        ],
      ),
    );
    expect(terms[0]).toMatchObject({ orderKeptFrom: 1, orderKeptTo: 1, leaderKeptFrom: 1, leaderKeptTo: 1 });
  });

  it('is none where equal ones stay equal', () => {
    const { terms } = sensitivityOf(
      inputOf(
        [term(0), term(1)],
        [
          [3, 5],
          [3, 5],
        ],
      ),
    );
    expect(terms[0]).toMatchObject({ orderKeptFrom: null, orderKeptTo: null, without: [], doubled: [] });
  });

  it('agrees with standings computed anew on either side of it', () => {
    const rows = fc.array(
      fc.tuple(
        fc.integer({ min: 0, max: 30 }),
        fc.integer({ min: 0, max: 30 }),
        fc.option(fc.integer({ min: 0, max: 30 })),
      ),
      {
        minLength: 2,
        maxLength: 4,
      },
    );
    fc.assert(
      fc.property(
        rows,
        fc.boolean(),
        fc.option(fc.integer({ min: 5, max: 40 })),
        (values, isNormalised, cap) => {
          const make = (factor: number) =>
            inputOf(
              [term(0, { factor, cap }), term(1, { factor: 2 }), term(2, { missing: 'leaveOut' })],
              values.map((row) => [...row]),
              isNormalised,
            );
          const order = (factor: number) =>
            Object.fromEntries(
              computeStandings(make(factor)).rows.map(({ contender, place }) => [contender.key, place]),
            );
          const now = order(1);
          const { terms } = sensitivityOf(make(1), 0);
          const { orderKeptFrom, orderKeptTo, without, doubled } = terms[0]!;
          for (const [bound, limit] of [
            [orderKeptFrom, 0],
            [orderKeptTo, 10],
          ] as const) {
            // Up to the bound the order stays; a little beyond it is another.
            const end = bound ?? limit;
            for (const share of [0.03, 0.4, 0.97]) expect(order(1 + (end - 1) * share)).toEqual(now);
            if (bound !== null && Math.abs(bound - limit) > 1e-3) {
              expect(order(bound + Math.sign(limit - 1) * 1e-4)).not.toEqual(now);
            }
          }
          for (const [moved, factor] of [
            [without, 0],
            [doubled, 2],
          ] as const) {
            const then = order(factor);
            const wanted = Object.keys(now).filter((key) => then[key] !== now[key]);
            expect(Object.fromEntries(moved.map(({ key, place }) => [key, place]))).toEqual(
              Object.fromEntries(wanted.map((key) => [key, then[key]])),
            );
          }
        },
      ),
    );
  });
});

describe('whoever is first in random weightings', () => {
  it('is so with a total of zero too, where all others lie below', () => {
    const penalty = { way: 'perUnit', points: -1, amount: 1 } as const;
    const { firstShares } = sensitivityOf(
      inputOf(
        [term(0, { how: penalty }), term(1, { how: penalty })],
        [
          [0, 0],
          [5, 3],
        ],
      ),
    );
    expect(firstShares).toEqual([{ key: keyOf('Hollin H5'), share: 1 }]);
  });

  it('is said with a decimal where only that keeps it from being everybody’s', () => {
    // Evenly drawn shares w and 1 - w: the other leads where 3 w > 997 (1 - w), so in 3 of 1000.
    const { firstShares, sentences } = sensitivityOf(
      inputOf(
        [term(0), term(1)],
        [
          [0, 997],
          [3, 0],
        ],
      ),
      20_000,
    );
    expect(firstShares[0]?.share).toBeCloseTo(0.997, 2);
    const percent = (100 * (firstShares[0]?.share ?? Number.NaN)).toFixed(1);
    expect(sentences.join(' ')).toContain(
      `Hollin H5 (demo) ${percent}\u202f% and Tarnwick T6 (demo) 0\u202f%`,
    );
  });
});

describe('random weightings', () => {
  it('give the first place as often as the geometry of the simplex says', () => {
    // w1 · 2 against w2 · 1 with w1 + w2 = 1: the first wins where w1 > 1/3, two thirds of the simplex.
    const { firstShares } = sensitivityOf(
      inputOf(
        [term(0), term(1)],
        [
          [2, 0],
          [0, 1],
        ],
      ),
      20_000,
    );
    expect(firstShares.map(({ key }) => key)).toEqual([keyOf('Hollin H5'), keyOf('Tarnwick T6')]);
    expect(Math.abs(firstShares[0]!.share - 2 / 3)).toBeLessThan(4 * Math.sqrt(2 / 9 / 20_000));
  });

  it('vary the factors as they are, each up to as many times itself as there are terms, and caps with them', () => {
    const shareOf = (terms: Term[], values: readonly (readonly number[])[]) =>
      sensitivityOf(inputOf(terms, values), 20_000).firstShares.find(({ key }) => key === keyOf('Hollin H5'))
        ?.share;
    const within = (expected: number) => 4 * Math.sqrt((expected * (1 - expected)) / 20_000);
    // 3 w against 1 - w: from w = 1/4 on.
    const factors = shareOf(
      [term(0, { factor: 3 }), term(1)],
      [
        [1, 0],
        [0, 1],
      ],
    );
    expect(Math.abs((factors ?? Number.NaN) - 3 / 4)).toBeLessThan(within(3 / 4));
    // min(20 w, 5) against 8 (1 - w): at the cap from w = 1/4 on, and then ahead from w = 3/8 on.
    const capped = shareOf(
      [term(0, { cap: 5 }), term(1)],
      [
        [10, 0],
        [0, 4],
      ],
    );
    expect(Math.abs((capped ?? Number.NaN) - 5 / 8)).toBeLessThan(within(5 / 8));
  });

  it('go by how often, whatever the name, and a single one is all', () => {
    const input = inputOf(
      [term(0), term(1)],
      [
        [1, 0],
        [0, 2],
      ],
    );
    expect(sensitivityOf(input).firstShares.map(({ key }) => key)).toEqual([
      keyOf('Tarnwick T6'),
      keyOf('Hollin H5'),
    ]);
    expect(sensitivityOf(input, 1).firstShares).toEqual([{ key: expect.any(String) as string, share: 1 }]);
  });

  it('share a first place that is shared, and are the same from the same seed', () => {
    const input = inputOf(
      [term(0), term(1)],
      [
        [3, 5],
        [3, 5],
        [0, 0],
      ],
    );
    const sensitivity = sensitivityOf(input);
    expect(sensitivity.firstShares).toEqual([
      { key: keyOf('Hollin H5'), share: 0.5 },
      { key: keyOf('Tarnwick T6'), share: 0.5 },
    ]);
    expect(sensitivityOf(input)).toEqual(sensitivity);
    expect(sensitivitySchema.safeParse(sensitivity).success).toBe(true);
  });
});

describe('what is said of it', () => {
  it('names the factors that take the first place, and the scheme that decides by itself', () => {
    const { sentences } = sensitivityOf(
      inputOf(
        [term(0, { factor: 2 }), term(1)],
        [
          [10, 4],
          [8, 7],
          [2, 1],
        ],
      ),
      0,
    );
    expect(sentences).toEqual([
      'The first place changes where the factor of “massBare”, now 2, goes below 1.5.',
      'The first place changes where the factor of “length”, now 1, goes above 1.33.',
      '“massBare” decides by itself: with all other factors at zero everybody would have the same place.',
    ]);
  });

  it('says where no factor matters', () => {
    const { sentences } = sensitivityOf(
      inputOf(
        [term(0), term(1)],
        [
          [9, 9],
          [1, 1],
        ],
      ),
      1000,
    );
    expect(sentences).toEqual([
      'No single factor between zero and ten times itself takes the first place from Hollin H5 (demo).',
      '“massBare” decides by itself: with all other factors at zero everybody would have the same place.',
      '“length” decides by itself: with all other factors at zero everybody would have the same place.',
      'The factor of “massBare” changes nothing in the order between zero and ten times itself.',
      'The factor of “length” changes nothing in the order between zero and ten times itself.',
      'First in 1000 random weightings: Hollin H5 (demo) 100\u202f%.',
    ]);
  });

  it('says nothing of the order that a factor of zero, or the only term, leaves as it is', () => {
    const said = (terms: Term[], values: readonly (readonly number[])[]) =>
      sensitivityOf(inputOf(terms, values), 0).sentences;
    expect(said([term(0)], [[9], [1]])).toEqual([
      'No single factor between zero and ten times itself takes the first place from Hollin H5 (demo).',
    ]);
    const withZero = said(
      [term(0), term(1, { factor: 0 })],
      [
        [9, 9],
        [1, 1],
      ],
    );
    expect(withZero.filter((sentence) => sentence.includes('changes nothing'))).toEqual([]);
    expect(said([term(0), term(1)], [[9, 9]])).toEqual([
      'With fewer than two ranked there is no order that a factor could change.',
    ]);
  });
});
