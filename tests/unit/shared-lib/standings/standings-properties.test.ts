import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import '../../../helpers/seed-of-chance.ts';
import { computeStandings } from '../../../../shared-lib/standings/compute-standings.ts';
import { standingsSchema } from '../../../../shared-lib/standings/standings-model.ts';
import {
  demoInput,
  demoProperty,
  demoScheme,
  demoSubject,
  demoTerm,
  forwardPace,
  propertyTerm,
  torqueTrials,
} from './demo-standings.ts';

describe('any standings', () => {
  const arbitraryInput = fc
    .array(
      fc.record({
        mass: fc.option(fc.integer({ min: 1, max: 40 }).map((tenths) => tenths / 10)),
        torques: fc.array(fc.option(fc.integer({ min: -5, max: 900 })), { maxLength: 4 }),
        paces: fc.array(fc.integer({ min: 1, max: 30 }), { maxLength: 3 }),
      }),
      { minLength: 1, maxLength: 7 },
    )
    .chain((tools) =>
      fc.record({
        tools: fc.constant(tools),
        missing: fc.constantFrom('leaveOut' as const, 'zero' as const, 'notRanked' as const),
        isNormalised: fc.boolean(),
        order: fc.shuffledSubarray([...tools.keys()], { minLength: tools.length, maxLength: tools.length }),
      }),
    )
    .map(({ tools, missing, isNormalised, order }) => {
      const make = (indices: readonly number[]) =>
        demoInput({
          schemes: [
            demoScheme(
              [
                demoTerm({ how: { way: 'shareOfBest', points: 100 }, factor: 2, missing }),
                demoTerm({
                  id: 'pace',
                  measure: forwardPace,
                  better: 'less',
                  how: { way: 'shareOfBest', points: 50 },
                  missing,
                }),
                propertyTerm('massBare', { better: 'less', missing, cap: 5 }),
              ],
              { isNormalised },
            ),
          ],
          subjects: indices.map((index) =>
            demoSubject(`T${index}`, [demoProperty('massBare', tools[index]!.mass)]),
          ),
          trials: indices.flatMap((index) => [
            ...torqueTrials(`T${index}`, tools[index]!.torques),
            ...tools[index]!.paces.map((value, trial) => ({
              name: `T${index}`,
              trialId: `T${index}-pace-${trial}`,
              values: [[forwardPace, value / 10]] as const,
            })),
          ]),
        });
      return { input: make([...tools.keys()]), shuffled: make(order) };
    });

  it('do not depend on the order of contenders and trials', () => {
    fc.assert(
      fc.property(arbitraryInput, ({ input, shuffled }) => {
        expect(computeStandings({ ...shuffled, trials: shuffled.trials.toReversed() })).toEqual(
          computeStandings(input),
        );
      }),
    );
  });

  it('rank everybody once or say why not, and every total is the sum of its cells', () => {
    fc.assert(
      fc.property(arbitraryInput, ({ input }) => {
        const standings = computeStandings(input);
        expect(standingsSchema.safeParse(standings).success).toBe(true);
        expect(standings.rows.length + standings.notRanked.length).toBe(input.subjects.length);
        for (const row of standings.rows) {
          const better = standings.rows.filter(({ total }) => total > row.total).length;
          expect(row.place).toBe(better + 1);
          const factors = standings.scheme.terms.filter((_term, index) => row.cells[index]!.points !== null);
          const sum = row.cells.reduce((all, { points }) => all + (points ?? 0), 0);
          const divisor = standings.scheme.isNormalised
            ? factors.reduce((all, { factor }) => all + factor, 0)
            : 1;
          expect(row.total).toBeCloseTo(sum / divisor, 8);
        }
        for (const { because: reasons, cells } of standings.notRanked) {
          expect(reasons.length).toBeGreaterThan(0);
          expect(cells.every(({ points }) => points === null)).toBe(true);
        }
      }),
    );
  });
});
