import { describe, expect, it } from 'vitest';
import { distributionFunctions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';
import { drawChiSquareOverDegrees } from '../../../../shared-lib/standings/draw-chi-square.ts';
import { fillNormals } from '../../../../shared-lib/standings/draw-normal.ts';
import { type DrawPlan, planDraws } from '../../../../shared-lib/standings/draw-plan.ts';
import { createTotalsDraw } from '../../../../shared-lib/standings/draw-totals.ts';
import { scoreInput } from '../../../../shared-lib/standings/score-input.ts';
import type { StandingsInput } from '../../../../shared-lib/standings/standings-model.ts';
import { doAtOnce } from '../../../../shared-lib/work-in-pieces.ts';
import {
  demoInput,
  demoProperty,
  demoScheme,
  demoSubject,
  demoTerm,
  forward5,
  forwardTorque,
  propertyTerm,
  torqueTrials,
} from './demo-standings.ts';

const finalTorque = { of: 'trial', step: forward5, measure: { figure: 'finalTorque' } } as const;
const planOf = (input: StandingsInput): DrawPlan =>
  doAtOnce(planDraws(scoreInput(input), distributionFunctions));

/** Two of one session and one calibration, and one of two of each. */
const plain = demoInput({
  schemes: [demoScheme([demoTerm()])],
  subjects: ['Hollin H5', 'Tarnwick T6', 'Brindlow B4'].map((name) => demoSubject(name)),
  trials: [
    ...torqueTrials('Hollin H5', [490, 500, 510]),
    ...torqueTrials('Tarnwick T6', [395, 400, 405, 400]),
    ...torqueTrials('Brindlow B4', [600, 606]),
    ...torqueTrials('Brindlow B4', [594], { sessionId: 'session 2', calibrationId: 'cal 2' }),
  ],
  rest: {
    calibrations: [
      { calibrationId: 'cal 1', label: 'Demo 1', uncertainty: 0.01 },
      { calibrationId: 'cal 2', label: 'Demo 2', uncertainty: 0.02 },
    ],
    dayToDay: [{ standardDeviation: 0.03, degreesOfFreedom: 6 }],
  },
});

describe('the plan of the draws', () => {
  it('gives each mean the scatter of its trials, and each session and calibration its share', () => {
    const { steps, chiDegrees, sharedCount, properties } = planOf(plain);
    const measure = steps[0]!.measures[0]!;
    const s = measure.scatter.standardDeviation;
    expect([...measure.errors]).toEqual([s / Math.sqrt(3), s / Math.sqrt(3), s / 2]);
    // By name, so that the one of two sessions comes first; both others are moved alike.
    expect([...measure.mixtures]).toEqual([0, 1, 1]);
    const sizes = (parts: readonly (readonly { readonly size: number }[])[]) =>
      parts.map((ofMixture) => ofMixture.map(({ size }) => size));
    expect(sizes(measure.calibrationParts)).toEqual([[(2 / 3) * 0.01, (1 / 3) * 0.02], [0.01]]);
    expect(sizes(measure.dayParts)).toEqual([[(2 / 3) * 0.03, (1 / 3) * 0.03], [0.03]]);
    // Two calibrations and two days; the scatter within sessions and that of days have a chance each.
    expect(sharedCount).toBe(4);
    expect(chiDegrees.toSorted((a, b) => a - b)).toEqual([6, 6]);
    expect(chiDegrees[measure.dayChi]).toBe(6);
    expect(measure.dayChi).not.toBe(measure.chis[0]);
    expect(properties).toEqual([]);
  });

  it('lets measures of one step that are known equally well be too large or too small together', () => {
    const { steps, chiDegrees } = planOf(twoMeasures);
    const [torque, final] = steps[0]!.measures;
    expect(steps).toHaveLength(1);
    expect(chiDegrees).toEqual([4]);
    expect([...torque!.chis]).toEqual([0, 0]);
    expect([...final!.chis]).toEqual([0, 0]);
  });

  it('gives one that scatters clearly more a chance of its own', () => {
    const names = ['Hollin H5', 'Tarnwick T6', 'Brindlow B4', 'Corvane C8'];
    const { steps, chiDegrees } = planOf(
      demoInput({
        schemes: [demoScheme([demoTerm()])],
        subjects: [...names, 'Wild W1'].map((name) => demoSubject(name)),
        trials: [
          ...names.flatMap((name) => torqueTrials(name, [495, 500, 505])),
          ...torqueTrials('Wild W1', [300, 400, 600, 900]),
        ],
      }),
    );
    const chis = [...steps[0]!.measures[0]!.chis];
    expect(chis.map((chi) => chiDegrees[chi])).toEqual([8, 8, 8, 8, 3]);
  });

  it('takes the uncertain properties, each as a share of its value', () => {
    const { properties } = planOf(
      demoInput({
        schemes: [demoScheme([propertyTerm('handling'), propertyTerm('massBare')])],
        subjects: [
          demoSubject('Hollin H5', [
            demoProperty('handling', 8, { standardError: 0.4 }),
            demoProperty('massBare', 2),
          ]),
          demoSubject('Tarnwick T6', [demoProperty('handling', 7), demoProperty('massBare', 2)]),
        ],
        trials: [],
      }),
    );
    expect(properties.map(({ property, errors }) => [property, ...errors])).toEqual([['handling', 0.05, 0]]);
  });

  it('gives what three raters said a chance of how far they differ, and none to what fewer said', () => {
    const { properties, chiDegrees } = planOf(ratedByThree);
    expect([...properties[0]!.errors]).toEqual([0.05, 0, 0]);
    expect(chiDegrees).toEqual([2]);
    expect([...properties[0]!.chis]).toEqual([0, -1, -1]);
  });
});

const ratedByThree = demoInput({
  schemes: [demoScheme([propertyTerm('handling')])],
  subjects: [
    demoSubject('Brindlow B4', [demoProperty('handling', 8, { standardError: 0.4, degreesOfFreedom: 2 })]),
    demoSubject('Hollin H5', [demoProperty('handling', 7, { standardError: 0.25, degreesOfFreedom: 1 })]),
    demoSubject('Tarnwick T6', [demoProperty('handling', 6, { degreesOfFreedom: 0 })]),
  ],
  trials: [],
});

const twoMeasures = demoInput({
  schemes: [demoScheme([demoTerm(), demoTerm({ id: 'final', measure: finalTorque })])],
  subjects: ['Hollin H5', 'Tarnwick T6'].map((name) => demoSubject(name)),
  trials: ['Hollin H5', 'Tarnwick T6'].flatMap((name, index) =>
    [
      [0.98, 1.01],
      [1, 0.98],
      [1.02, 1.01],
    ].map(([torque = 1, final = 1], trial) => ({
      name,
      trialId: `${name}-${trial}`,
      values: [
        [forwardTorque, (500 + 8 * index) * torque],
        [finalTorque, (400 + 8 * index) * final],
      ] as const,
    })),
  ),
});

describe('a draw of the totals', () => {
  it('moves what three raters said by t of two degrees of freedom, beside a normal draw as if their scatter were known', () => {
    const draw = createTotalsDraw(scoreInput(ratedByThree), planOf(ratedByThree), createSeededRandom(6, 1));
    const drawCount = 40_000;
    const [beyond, plainBeyond] = [{ count: 0 }, { count: 0 }];
    for (let index = 0; index < drawCount; index += 1) {
      draw.next(true);
      // In standard errors; 4.303 is the 97.5th percentile of t with two degrees of freedom (printed tables), 1.960 of the normal.
      if (Math.abs(Math.log(draw.totals[0]! / 8)) / 0.05 > 4.303) beyond.count += 1;
      if (Math.abs(Math.log(draw.plainTotals[0]! / 8)) / 0.05 > 1.96) plainBeyond.count += 1;
      expect([draw.totals[1], draw.totals[2]]).toEqual([7, 6]);
    }
    // A share of 5 % of so many draws has a standard deviation of 0.11 %.
    expect(Math.abs(beyond.count / drawCount - 0.05)).toBeLessThan(0.005);
    expect(Math.abs(plainBeyond.count / drawCount - 0.05)).toBeLessThan(0.005);
  });

  /** What the plan says, with the library's exponential: the same chance, taken in the same order. */
  const expected = (plan: DrawPlan, seed: number, drawCount: number) => {
    const random = createSeededRandom(seed, 1);
    return Array.from({ length: drawCount }, () => {
      const chis = plan.chiDegrees.map((degrees) => 1 / Math.sqrt(drawChiSquareOverDegrees(degrees, random)));
      const shared = new Float64Array(plan.sharedCount);
      fillNormals(shared, random);
      const sums = plan.steps.map(({ measures }) => {
        const normals = measures.map(({ means }) => {
          const own = new Float64Array(means.length);
          fillNormals(own, random);
          return own;
        });
        return measures.map((measure) => ({
          measure,
          mixed: normals[0]!.map((_, k) =>
            measure.weights.reduce((sum, weight, row) => sum + weight * normals[row]![k]!, 0),
          ),
        }));
      });
      const totalsWith = (chiOf: (chi: number) => number): number[] =>
        Array.from(plan.steps[0]!.measures[0]!.means, (_, k) =>
          sums.flat().reduce((total, { measure, mixed }) => {
            const { means, errors, mixtures, calibrationParts, dayParts, dayChi } = measure;
            const sumOf = (parts: readonly { readonly draw: number; readonly size: number }[]): number =>
              parts.reduce((sum, { draw, size }) => sum + size * shared[draw]!, 0);
            const mixture = mixtures[k]!;
            const day = sumOf(dayParts[mixture]!) * (dayChi < 0 ? 1 : chiOf(dayChi));
            const scatter = errors[k]! * chiOf(measure.chis[k]!) * mixed[k]!;
            return total + means[k]! * Math.exp(scatter + sumOf(calibrationParts[mixture]!) + day);
          }, 0),
        );
      return { totals: totalsWith((chi) => chis[chi]!), plainTotals: totalsWith(() => 1) };
    });
  };

  it.each([
    ['one measure, with days and calibrations', plain],
    ['two measures of the same pulls', twoMeasures],
  ])('is what its plan says: %s', (_, input) => {
    // Errors ten times as large: within 0.3 of zero the series is as exact as beyond it.
    const planned = planOf(input);
    const plan = {
      ...planned,
      steps: planned.steps.map(({ measures }) => ({
        measures: measures.map((measure) => ({
          ...measure,
          errors: measure.errors.map((error) => 10 * error),
        })),
      })),
    };
    const draw = createTotalsDraw(scoreInput(input), plan, createSeededRandom(4, 1));
    for (const { totals, plainTotals } of expected(plan, 4, 300)) {
      draw.next(true);
      for (const [k, total] of totals.entries()) {
        expect(Math.abs(draw.totals[k]! / total - 1)).toBeLessThan(1e-11);
        expect(Math.abs(draw.plainTotals[k]! / plainTotals[k]! - 1)).toBeLessThan(1e-11);
      }
    }
  });
});
