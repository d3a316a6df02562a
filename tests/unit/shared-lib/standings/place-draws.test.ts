import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import '../../../helpers/seed-of-chance.ts';
import { distributionFunctions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';
import { computeStandings } from '../../../../shared-lib/standings/compute-standings.ts';
import { drawPlaceRanges } from '../../../../shared-lib/standings/place-draws.ts';
import { doAtOnce } from '../../../../shared-lib/work-in-pieces.ts';
import {
  placeRangesSchema,
  type PlaceRanges,
  type StandingsInput,
} from '../../../../shared-lib/standings/standings-model.ts';
import {
  demoInput,
  demoProperty,
  demoScheme,
  demoSubject,
  demoTerm,
  keyOf,
  propertyTerm,
  reverseTorque,
  torqueTrials,
  type DemoInput,
  type DemoTrial,
} from './demo-standings.ts';

const rangesOf = (input: StandingsInput, drawCount = 4000, seed = 5): PlaceRanges =>
  doAtOnce(drawPlaceRanges(input, computeStandings(input), { seed, drawCount }, distributionFunctions));
const rangesFor = (input: DemoInput) => rangesOf(demoInput(input));
const range = ({ ranges }: PlaceRanges, name: string): [number, number] => {
  const found = ranges.find(({ key }) => key === keyOf(name))!;
  return [found.bestPlace, found.worstPlace];
};
const subjectsOf = (names: readonly string[]) => names.map((name) => demoSubject(name));
const torque = [demoScheme([demoTerm()])];
/** Three pulls that scatter by 1 % about a torque. */
const about = (name: string, torqueNm: number, change: Partial<DemoTrial> = {}) =>
  torqueTrials(name, [0.99 * torqueNm, torqueNm, 1.01 * torqueNm], change);

describe('place ranges', () => {
  it('tell apart what lies far apart, and not what lies within the scatter', () => {
    const ranges = rangesFor({
      schemes: torque,
      subjects: subjectsOf(['Hollin H5', 'Tarnwick T6', 'Brindlow B4', 'Corvane C8']),
      trials: [
        ...about('Hollin H5', 500),
        ...about('Tarnwick T6', 502),
        ...about('Brindlow B4', 400),
        ...about('Corvane C8', 300),
      ],
    });
    expect(range(ranges, 'Tarnwick T6')).toEqual([1, 2]);
    expect(range(ranges, 'Hollin H5')).toEqual([1, 2]);
    expect(range(ranges, 'Brindlow B4')).toEqual([3, 3]);
    expect(range(ranges, 'Corvane C8')).toEqual([4, 4]);
    expect(ranges.ranges.map(({ notSeparatedFrom }) => notSeparatedFrom)).toEqual([
      [keyOf('Hollin H5')],
      [keyOf('Tarnwick T6')],
      [],
      [],
    ]);
    expect(placeRangesSchema.safeParse(ranges).success).toBe(true);
  });

  it('have for one measure the critical value of the studentized range, over the root of two', () => {
    // Equal counts, so the maximum of all pairs is the studentized range: q_0.95(3, 6) = 4.339 (tables, from memory).
    const ranges = rangesOf(
      demoInput({
        schemes: torque,
        subjects: subjectsOf(['Hollin H5', 'Tarnwick T6', 'Brindlow B4']),
        trials: [...about('Hollin H5', 500), ...about('Tarnwick T6', 500), ...about('Brindlow B4', 500)],
      }),
      20_000,
    );
    expect(ranges.criticalValue!).toBeGreaterThan((4.339 / Math.SQRT2) * 0.97);
    expect(ranges.criticalValue!).toBeLessThan((4.339 / Math.SQRT2) * 1.03);
  });

  it('compare what does not scatter as it is', () => {
    const ranges = rangesFor({
      schemes: [demoScheme([propertyTerm('massBare', { better: 'less' })])],
      subjects: [2, 2, 2.01].map((mass, index) => demoSubject(`T${index}`, [demoProperty('massBare', mass)])),
      trials: [],
    });
    expect(range(ranges, 'T0')).toEqual([1, 2]);
    expect(range(ranges, 'T2')).toEqual([3, 3]);
    expect(ranges.criticalValue).toBeNull();
  });

  it('let the scale of one calibration cancel, and that of two not', () => {
    const make = (calibrationId: string) =>
      demoInput({
        schemes: torque,
        subjects: subjectsOf(['Hollin H5', 'Tarnwick T6']),
        trials: [...about('Hollin H5', 500), ...about('Tarnwick T6', 530, { calibrationId })],
        rest: {
          calibrations: [
            { calibrationId: 'cal 1', label: 'Demo 1', uncertainty: 0.05 },
            { calibrationId: 'cal 2', label: 'Demo 2', uncertainty: 0.05 },
          ],
        },
      });
    expect(range(rangesOf(make('cal 1')), 'Tarnwick T6')).toEqual([1, 1]);
    expect(range(rangesOf(make('cal 2')), 'Tarnwick T6')).toEqual([1, 2]);
  });

  it('do not tell apart by a calibration whose uncertainty nobody stated', () => {
    const ranges = rangesFor({
      schemes: torque,
      subjects: subjectsOf(['Hollin H5', 'Tarnwick T6']),
      trials: [...about('Hollin H5', 500), ...about('Tarnwick T6', 900, { calibrationId: 'cal 2' })],
      rest: { calibrations: [{ calibrationId: 'cal 2', label: 'Demo 2', uncertainty: null }] },
    });
    expect(range(ranges, 'Hollin H5')).toEqual([1, 2]);
    expect(ranges.sentences.join(' ')).toContain('a calibration has no stated uncertainty');
  });

  it('carry the day-to-day scatter across sessions, and tell nobody apart where it is unknown', () => {
    const make = (dayToDay: { standardDeviation: number; degreesOfFreedom: number } | null) =>
      demoInput({
        schemes: torque,
        subjects: subjectsOf(['Hollin H5', 'Tarnwick T6', 'Brindlow B4']),
        trials: [
          ...about('Hollin H5', 500),
          ...about('Tarnwick T6', 530),
          ...about('Brindlow B4', 560, { sessionId: 'session 2' }),
        ],
        rest: { dayToDay: [dayToDay] },
      });
    const small = rangesOf(make({ standardDeviation: 0.001, degreesOfFreedom: 20 }));
    expect(range(small, 'Brindlow B4')).toEqual([1, 1]);
    const large = rangesOf(make({ standardDeviation: 0.05, degreesOfFreedom: 20 }));
    expect(range(large, 'Brindlow B4')).toEqual([1, 3]);
    // Within one session days cancel.
    expect(range(large, 'Tarnwick T6')[1]).toBe(2);
    const unknown = rangesOf(make(null));
    expect(range(unknown, 'Brindlow B4')).toEqual([1, 3]);
    expect(range(unknown, 'Tarnwick T6')).toEqual([1, 2]);
    expect(unknown.sentences.join(' ')).toContain('day-to-day scatter unknown');
    // Two degrees of freedom say too little of it, which is another thing than knowing nothing.
    const ofThreeDays = rangesOf(make({ standardDeviation: 0.001, degreesOfFreedom: 2 }));
    expect(ofThreeDays.ranges).toEqual(unknown.ranges);
    expect(ofThreeDays.sentences.join(' ')).not.toContain('unknown');
    expect(ofThreeDays.sentences.at(-1)).toBe(
      'For sustained torque, tighten forward 5\u202fs: across sessions, day-to-day scatter known from three days only, too little for a range; pull the reference tool on a fourth day. Contenders whose trials are of different sessions are not told apart.',
    );
    expect(rangesOf(make({ standardDeviation: 0.001, degreesOfFreedom: 3 })).sentences).toHaveLength(1);
  });

  it('are refused where fewer than three degrees of freedom tell how pulls scatter', () => {
    const ranges = rangesFor({
      schemes: torque,
      subjects: subjectsOf(['Hollin H5', 'Tarnwick T6']),
      trials: [...torqueTrials('Hollin H5', [500, 501]), ...torqueTrials('Tarnwick T6', [700, 702])],
    });
    expect(ranges).toMatchObject({ ranges: [], criticalValue: null });
    expect(ranges.sentences).toEqual([
      'No range for Hollin H5 (demo) and Tarnwick T6 (demo): for sustained torque, tighten forward 5\u202fs the repeats within sessions give 2 degrees of freedom, and fewer than 3 say too little of how pulls scatter. More trials would give one.',
    ]);
  });

  it('are given from exactly three degrees of freedom on, and one is called a degree', () => {
    const withPulls = (own: readonly number[], others: readonly number[]) =>
      rangesFor({
        schemes: torque,
        subjects: subjectsOf(['Hollin H5', 'Tarnwick T6']),
        trials: [...torqueTrials('Hollin H5', own), ...torqueTrials('Tarnwick T6', others)],
      });
    expect(withPulls([500, 501, 499], [700, 702]).ranges).toHaveLength(2);
    expect(withPulls([500, 501], [700]).sentences[0]).toContain('give 1 degree of freedom,');
  });

  it('ask how well the measures of the scheme itself are known, also where it takes the total of another', () => {
    const nested = demoTerm({ id: 'nested', label: 'Nested', measure: { of: 'scheme', schemeId: 'other' } });
    const ranges = rangesFor({
      schemes: [
        demoScheme([demoTerm(), nested]),
        demoScheme([propertyTerm('massBare')], { schemeId: 'other', name: 'Other' }),
      ],
      subjects: ['Hollin H5', 'Tarnwick T6'].map((name, index) =>
        demoSubject(name, [demoProperty('massBare', 2 + index)]),
      ),
      trials: [...torqueTrials('Hollin H5', [500, 501]), ...torqueTrials('Tarnwick T6', [700, 702])],
    });
    expect(ranges.ranges).toEqual([]);
    expect(ranges.sentences[0]).toContain('give 2 degrees of freedom');
  });

  it('give a single trial the scatter of the others', () => {
    const ranges = rangesFor({
      schemes: torque,
      subjects: subjectsOf(['Hollin H5', 'Tarnwick T6', 'Brindlow B4']),
      trials: [
        ...about('Hollin H5', 500),
        ...about('Tarnwick T6', 502),
        ...torqueTrials('Brindlow B4', [900]),
      ],
    });
    expect(range(ranges, 'Brindlow B4')).toEqual([1, 1]);
  });

  it('leave out who scatters far more than the others by too few trials, and say so', () => {
    const names = ['Hollin H5', 'Tarnwick T6', 'Brindlow B4', 'Corvane C8'];
    const ranges = rangesFor({
      schemes: torque,
      subjects: subjectsOf([...names, 'Wild W1']),
      trials: [
        ...names.flatMap((name, index) => about(name, 500 + 50 * index)),
        ...torqueTrials('Wild W1', [300, 600, 900]),
      ],
    });
    expect(ranges.ranges.map(({ key }) => key)).not.toContain(keyOf('Wild W1'));
    expect(range(ranges, 'Corvane C8')).toEqual([1, 2]);
    expect(ranges.sentences[1]).toBe(
      'Wild W1 (demo) scatters far more than the others in sustained torque, tighten forward 5\u202fs, and 3 trials are too few to say by how much. It has no range and stays unseparated from everybody; more trials would give it one.',
    );
  });

  it('take the own scatter of who scatters more, from four trials on', () => {
    const names = ['Hollin H5', 'Tarnwick T6', 'Brindlow B4', 'Corvane C8'];
    const ranges = rangesFor({
      schemes: torque,
      subjects: subjectsOf([...names, 'Wild W1']),
      trials: [
        ...names.flatMap((name, index) => about(name, 500 + 50 * index)),
        ...torqueTrials('Wild W1', [300, 600, 900, 450]),
      ],
    });
    expect(range(ranges, 'Wild W1')).toEqual([1, 5]);
    expect(ranges.sentences).toContain(
      'Wild W1 (demo) scatters more than the others in sustained torque, tighten forward 5\u202fs, so its own scatter is taken there.',
    );
  });

  it('are none where nobody is ranked, or where nobody pulled twice', () => {
    expect(rangesFor({ schemes: torque, subjects: subjectsOf(['Hollin H5']), trials: [] }).sentences).toEqual(
      ['Nobody is ranked, so there are no ranges.'],
    );
    const once = rangesFor({
      schemes: torque,
      subjects: subjectsOf(['Hollin H5', 'Tarnwick T6']),
      trials: [...torqueTrials('Hollin H5', [500]), ...torqueTrials('Tarnwick T6', [700])],
    });
    expect(once.sentences.join(' ')).toContain(
      'no contender has two trials in one session, so nothing says how pulls scatter',
    );
    const twice = rangesFor({
      schemes: torque,
      subjects: subjectsOf(['Hollin H5', 'Tarnwick T6']),
      trials: [...torqueTrials('Hollin H5', [500, 505]), ...torqueTrials('Tarnwick T6', [700])],
    });
    expect(twice.sentences.join(' ')).toContain('the repeats within sessions give 1 degree of freedom');
  });

  it('do not ask how well a measure is known that decides nothing', () => {
    const ranges = rangesFor({
      schemes: [demoScheme([demoTerm(), demoTerm({ id: 'shown', measure: reverseTorque, factor: 0 })])],
      subjects: subjectsOf(['Hollin H5', 'Tarnwick T6']),
      trials: ['Hollin H5', 'Tarnwick T6'].flatMap((name, index) => [
        ...about(name, 500 + 200 * index),
        { name, values: [[reverseTorque, 300]], calibrationId: index === 0 ? 'cal 1' : 'cal 2' } as const,
      ]),
      rest: {
        calibrations: [
          { calibrationId: 'cal 1', label: 'Demo 1', uncertainty: 0.002 },
          { calibrationId: 'cal 2', label: 'Demo 2', uncertainty: null },
        ],
      },
    });
    expect(range(ranges, 'Tarnwick T6')).toEqual([1, 1]);
    expect(ranges.sentences).toHaveLength(1);
  });

  it('are none for whose share would have to be taken of zero or less in some draws', () => {
    // A total of 5 that scatters by some 3, of which less is better; the others are far from zero.
    const other = demoScheme([demoTerm(), propertyTerm('massBare', { factor: -1 })], {
      schemeId: 'other',
      name: 'Other',
    });
    const ranges = rangesFor({
      schemes: [
        demoScheme([
          demoTerm({
            measure: { of: 'scheme', schemeId: 'other' },
            better: 'less',
            how: { way: 'shareOfBest', points: 100 },
          }),
        ]),
        other,
      ],
      subjects: [
        demoSubject('Hollin H5', [demoProperty('massBare', 200)]),
        demoSubject('Tarnwick T6', [demoProperty('massBare', 495)]),
        demoSubject('Brindlow B4', [demoProperty('massBare', 100)]),
      ],
      trials: ['Hollin H5', 'Tarnwick T6', 'Brindlow B4'].flatMap((name) => about(name, 500)),
    });
    expect(ranges.ranges.map(({ key }) => key)).toEqual([keyOf('Hollin H5'), keyOf('Brindlow B4')]);
    expect(ranges.sentences.at(-1)).toBe(
      'Tarnwick T6 (demo) has no range: in some draws a share would have to be taken of zero or less.',
    );
    // It stays unseparated from both.
    expect(
      ranges.ranges.map(({ notSeparatedFrom }) => notSeparatedFrom.includes(keyOf('Tarnwick T6'))),
    ).toEqual([true, true]);
  });

  it('count measures of the same pulls as going up and down together', () => {
    const finalTorque = {
      of: 'trial',
      step: { kind: 'tighten', direction: 'forward', plannedS: 5 },
      measure: { figure: 'finalTorque' },
    } as const;
    const errors = [-0.02, -0.01, 0, 0.01, 0.02];
    const make = (turn: 1 | -1) =>
      demoInput({
        schemes: [demoScheme([demoTerm(), demoTerm({ id: 'final', measure: finalTorque })])],
        subjects: subjectsOf(['Hollin H5', 'Tarnwick T6']),
        trials: ['Hollin H5', 'Tarnwick T6'].flatMap((name, index) =>
          errors.map((error, trial) => ({
            name,
            trialId: `${name}-${trial}`,
            values: [
              [demoTerm().measure as typeof finalTorque, (500 + 8 * index) * Math.exp(error)],
              [finalTorque, (500 + 8 * index) * Math.exp(turn * error)],
            ] as const,
          })),
        ),
      });
    // The same scatter twice doubles that of the sum; opposite ones cancel in it.
    expect(range(rangesOf(make(1)), 'Tarnwick T6')).toEqual([1, 2]);
    expect(range(rangesOf(make(-1)), 'Tarnwick T6')).toEqual([1, 1]);
  });

  it('take the disagreement of raters in, and name a single rater', () => {
    const make = (standardError: number | null) =>
      rangesFor({
        schemes: [demoScheme([propertyTerm('handling', { label: 'Handling' })])],
        subjects: [7, 8].map((score, index) =>
          demoSubject(`T${index}`, [demoProperty('handling', score, { standardError })]),
        ),
        trials: [],
      });
    expect(range(make(1), 'T1')).toEqual([1, 2]);
    expect(range(make(0.1), 'T1')).toEqual([1, 1]);
    expect(make(null).sentences.at(-1)).toContain('one rater has no interval');
  });

  it('name a single rater of one tool among several, and none where no term takes the rating', () => {
    const saidOf = (...taken: ('handling' | 'massBare')[]) =>
      rangesFor({
        schemes: [demoScheme(taken.map((property) => propertyTerm(property)))],
        subjects: [null, 0.5].map((standardError, index) =>
          demoSubject(`T${index}`, [
            demoProperty('handling', 7 + index, { standardError }),
            demoProperty('massBare', 2 + index),
          ]),
        ),
        trials: [],
      }).sentences.join(' ');
    expect(saidOf('handling')).toContain('one rater has no interval');
    expect(saidOf('massBare', 'handling')).toContain('one rater has no interval');
    expect(saidOf('massBare')).not.toContain('one rater');
  });

  const rated = (
    ...ratings: { value: number; standardError: number | null; degreesOfFreedom: number }[]
  ): PlaceRanges =>
    rangesFor({
      schemes: [demoScheme([propertyTerm('handling', { label: 'Handling' })])],
      subjects: ratings.map(({ value, ...known }, index) =>
        demoSubject(`T${index}`, [demoProperty('handling', value, known)]),
      ),
      trials: [],
    });
  const FEW_RATERS =
    'A handling rating by one or two raters, or by more who all gave the same: how far raters differ is not in the ranges, which take it as exact.';

  it('take what one or two raters said as exact, and say that how far raters differ is not in them', () => {
    // 7 and 7.5 against 8 and 8.5: as if the scatter of two were known, these would be told apart with a confidence of 81 %.
    const two = rated(
      { value: 7.25, standardError: 0.25, degreesOfFreedom: 1 },
      { value: 8.25, standardError: 0.25, degreesOfFreedom: 1 },
    );
    expect(two.sentences.at(-1)).toBe(FEW_RATERS);
    expect(two.criticalValue).toBeNull();
    const one = rated(
      { value: 7, standardError: null, degreesOfFreedom: 0 },
      { value: 8, standardError: null, degreesOfFreedom: 0 },
    );
    expect(one.sentences.at(-1)).toBe(FEW_RATERS);
    // All the same says nothing of how raters differ either.
    const alike = rated(
      { value: 7, standardError: 0, degreesOfFreedom: 2 },
      { value: 7.5, standardError: 0.4, degreesOfFreedom: 2 },
    );
    expect(alike.sentences.filter((sentence) => sentence === FEW_RATERS)).toHaveLength(1);
  });

  it('know the scatter of three raters as little as it is known', () => {
    const ofThree = (degreesOfFreedom: number) =>
      rated(
        { value: 7, standardError: 0.29, degreesOfFreedom },
        { value: 8.5, standardError: 0.29, degreesOfFreedom },
      );
    expect(ofThree(2).sentences).toHaveLength(1);
    expect(range(ofThree(2), 'T1')).toEqual([1, 2]);
    // A difference of 3.7 standard errors, with all the raters that one could wish for.
    expect(range(ofThree(200), 'T1')).toEqual([1, 1]);
  });

  it('come out the same from the same seed, however the contenders are ordered', () => {
    const names = ['Hollin H5', 'Tarnwick T6', 'Brindlow B4'];
    const input = demoInput({
      schemes: torque,
      subjects: subjectsOf(names),
      trials: names.flatMap((name, index) => about(name, 500 + 6 * index)),
    });
    const whole = rangesOf(input, 500);
    expect(rangesOf(input, 500)).toEqual(whole);
    expect(rangesOf({ ...input, subjects: input.subjects.toReversed() }, 500)).toEqual(whole);
    expect(rangesOf(input, 500, 6).criticalValue).not.toBe(whole.criticalValue);
  });

  it('are drawn in many pieces, so that others have their turn in between', () => {
    const input = demoInput({
      schemes: torque,
      subjects: subjectsOf(['Hollin H5']),
      trials: about('Hollin H5', 500),
    });
    const work = drawPlaceRanges(
      input,
      computeStandings(input),
      { seed: 1, drawCount: 1000 },
      distributionFunctions,
    );
    let pieces = 0;
    let piece = work.next();
    for (; piece.done !== true; piece = work.next()) pieces += 1;
    expect(pieces).toBeGreaterThan(200);
    expect(range(piece.value, 'Hollin H5')).toEqual([1, 1]);
  });

  it('always hold the place itself, and agree of who is not separated from whom', () => {
    const anyTools = fc.array(fc.array(fc.integer({ min: 400, max: 520 }), { minLength: 1, maxLength: 4 }), {
      minLength: 2,
      maxLength: 6,
    });
    fc.assert(
      fc.property(anyTools, (tools) => {
        const input = demoInput({
          schemes: [demoScheme([demoTerm({ how: { way: 'shareOfBest', points: 100 } })])],
          subjects: subjectsOf(tools.map((_torques, index) => `T${index}`)),
          trials: tools.flatMap((torques, index) => torqueTrials(`T${index}`, torques)),
        });
        const { rows } = computeStandings(input);
        const { ranges } = rangesOf(input, 200);
        for (const { key, bestPlace, worstPlace, notSeparatedFrom } of ranges) {
          const { place } = rows.find(({ contender }) => contender.key === key)!;
          expect(bestPlace).toBeLessThanOrEqual(place);
          expect(worstPlace).toBeGreaterThanOrEqual(place);
          expect(worstPlace - bestPlace).toBe(notSeparatedFrom.length);
          for (const other of notSeparatedFrom) {
            const theirs = ranges.find((candidate) => candidate.key === other);
            if (theirs) expect(theirs.notSeparatedFrom).toContain(key);
          }
        }
      }),
      { numRuns: 40 },
    );
  });

  it('hold all places of ten equal tools at once nearly always', () => {
    const random = createSeededRandom(9, 1);
    const names = Array.from({ length: 10 }, (_name, index) => `T${index}`);
    const simulations = 60;
    let covered = 0;
    for (let simulation = 0; simulation < simulations; simulation += 1) {
      const ranges = rangesOf(
        demoInput({
          schemes: torque,
          subjects: subjectsOf(names),
          trials: names.flatMap((name) =>
            torqueTrials(
              name,
              [1, 2, 3].map(() => 500 * Math.exp(0.03 * random.gaussian())),
            ),
          ),
        }),
        400,
      ).ranges;
      if (ranges.every(({ bestPlace, worstPlace }) => bestPlace === 1 && worstPlace === 10)) covered += 1;
    }
    // 95 % of 60 less three standard errors; the study over thousands is a script of its own.
    expect(covered / simulations).toBeGreaterThan(0.95 - 3 * Math.sqrt((0.95 * 0.05) / simulations));
  });
});
