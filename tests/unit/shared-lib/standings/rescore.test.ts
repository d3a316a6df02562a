import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import '../../../helpers/seed-of-chance.ts';
import { createRescorer } from '../../../../shared-lib/standings/rescore.ts';
import { scoreInput } from '../../../../shared-lib/standings/score-input.ts';
import { scoreSchemes, type BaseColumns } from '../../../../shared-lib/standings/score-terms.ts';
import type { Term, TermMeasure, TermWay } from '../../../../shared-lib/standings/scheme-model.ts';
import {
  demoInput,
  demoProperty,
  demoScheme,
  demoSubject,
  demoTerm,
  forwardPace,
  forwardTorque,
  keyOf,
  torqueTrials,
} from './demo-standings.ts';

const names = ['Hollin H5', 'Tarnwick T6', 'Brindlow B4', 'Corvane C8'];
const points = fc.integer({ min: -50, max: 100 });
const anyWay: fc.Arbitrary<TermWay> = fc.oneof(
  fc.record({ way: fc.constant('perUnit'), points, amount: fc.integer({ min: 1, max: 20 }) }),
  fc.record({ way: fc.constant('shareOfBest'), points }),
  fc.record({
    way: fc.constant('shareOfReference'),
    points,
    reference: fc.oneof(
      fc.record({ is: fc.constant('value'), value: fc.integer({ min: 1, max: 500 }) }),
      fc.record({ is: fc.constant('contender'), key: fc.constantFrom(...names.map(keyOf)) }),
    ),
  }),
  fc.record({
    way: fc.constant('steps'),
    steps: fc.tuple(points, points).map(([low, high]) => [
      { from: 100, points: low },
      { from: 400, points: high },
    ]),
  }),
);
const anyTerms = (measures: readonly TermMeasure[]): fc.Arbitrary<Term[]> =>
  fc
    .array(
      fc.record({
        measure: fc.constantFrom(...measures),
        better: fc.constantFrom('more', 'less'),
        how: anyWay,
        factor: fc.integer({ min: -2, max: 3 }),
        cap: fc.option(fc.integer({ min: 1, max: 80 })),
        missing: fc.constantFrom('leaveOut', 'zero', 'notRanked'),
      }),
      { minLength: 1, maxLength: 5 },
    )
    .map((terms) => terms.map((term, index) => demoTerm({ ...term, id: `term ${index}` })));

const ofTrials: TermMeasure[] = [
  forwardTorque,
  forwardPace,
  { ...forwardTorque, of: 'ratio', per: 'handling' },
];
const ofTools: TermMeasure[] = [
  { of: 'tool', property: 'handling' },
  { of: 'tool', property: 'massBare' },
];
const positive = fc.double({ min: 0.5, max: 900, noNaN: true });
const values = fc.array(fc.option(positive, { freq: 4 }), { minLength: 4, maxLength: 4 });

describe('totals of values that moved', () => {
  it('are those that scoring anew gives', () => {
    fc.assert(
      fc.property(
        fc.record({
          part: anyTerms([...ofTrials, ...ofTools]),
          own: anyTerms([...ofTrials, ...ofTools, { of: 'scheme', schemeId: 'part' }]),
          isNormalised: fc.boolean(),
          torques: values,
          paces: values,
          ratings: values,
          masses: values,
        }),
        fc.array(fc.double({ min: 0.3, max: 3, noNaN: true }), { minLength: 12, maxLength: 12 }),
        ({ part, own, isNormalised, torques, paces, ratings, masses }, moves) => {
          const scored = scoreInput(
            demoInput({
              schemes: [
                demoScheme(own, { isNormalised }),
                demoScheme(part, { schemeId: 'part', isNormalised: !isNormalised }),
              ],
              subjects: names.map((name, index) =>
                demoSubject(name, [
                  demoProperty('handling', ratings[index] ?? null),
                  demoProperty('massBare', masses[index] ?? null),
                ]),
              ),
              trials: names.flatMap((name, index) => [
                ...torqueTrials(name, [torques[index] ?? null]),
                { name, values: [[forwardPace, paces[index] ?? null]] as const },
              ]),
            }),
          );
          const move = (column: Float64Array, first: number) =>
            column.map((value, k) => value * moves[first + k]!);
          const { handling, massBare } = scored.base.properties;
          const base: BaseColumns = {
            measures: scored.base.measures.map((column, measure) => move(column, 4 * measure)),
            properties: {
              ...(massBare && { massBare }),
              ...(handling && { handling: move(handling, 8) }),
            },
          };
          // What a total that sinks to zero is worth as a share is another matter: then nobody has a total at all.
          const anew = scoreSchemes(scored.field, base);
          const [before, after] = [scored.columns, anew].map((columns) =>
            columns.map(({ parts, isRanked }) => [parts.map((part) => [...part]), [...isRanked]]),
          );
          fc.pre(JSON.stringify(before) === JSON.stringify(after));

          const rescorer = createRescorer(scored, base, new Set(['handling']));
          for (let turn = 0; turn < 2; turn += 1) {
            rescorer.rescore();
            for (const [k, total] of (anew.at(-1)?.totals ?? []).entries()) {
              const size = Math.max(1, Math.abs(total));
              if (Number.isNaN(total)) expect(rescorer.totals[k]).toBeNaN();
              else expect(Math.abs(rescorer.totals[k]! - total) / size).toBeLessThan(1e-9);
            }
          }
        },
      ),
      { numRuns: 300 },
    );
  });

  it('move with the best, and leave as it was what does not move', () => {
    const scored = scoreInput(
      demoInput({
        schemes: [
          demoScheme([
            demoTerm({ how: { way: 'shareOfBest', points: 100 } }),
            demoTerm({ id: 'mass', measure: { of: 'tool', property: 'massBare' } }),
          ]),
        ],
        subjects: names
          .slice(0, 2)
          .map((name, index) => demoSubject(name, [demoProperty('massBare', 1 + index)])),
        trials: [...torqueTrials('Hollin H5', [400]), ...torqueTrials('Tarnwick T6', [300])],
      }),
    );
    const torques = scored.base.measures.map((column) => column.slice());
    const rescorer = createRescorer(scored, { ...scored.base, measures: torques }, new Set());
    // By key: Hollin first. 400 and 300 N·m become 400 and 800.
    torques[0]![1] = 800;
    rescorer.rescore();
    expect([...rescorer.totals]).toEqual([50 + 1, 100 + 2]);
  });
});
