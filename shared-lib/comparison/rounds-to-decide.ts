import type { Distributions } from '../calibration/distributions.ts';
import type { SideFigures, TwoInput } from './two-model.ts';
import { shortPercent } from './comparison-words.ts';
import type { Comparison } from './comparison-model.ts';
import { type EstimatedDifference, scaleParts } from './estimate-difference.ts';
import { roundsForPower } from './power.ts';
import { sumOf } from './sums.ts';

/** In four of five cases a true difference is to be found. */
const POWER = 0.8;
const MOST_ROUNDS = 30;

/**
 * How many rounds of both (and of the other setups that stand in them) find a true difference of the margin in four of five
 * cases, with the scatter that was found: never from the difference that was. Null where nothing is known of scatter.
 */
export function roundsToDecide(
  question: {
    readonly input: TwoInput;
    readonly estimate: EstimatedDifference | null;
    readonly margin: number;
    readonly sides: { readonly a: SideFigures; readonly b: SideFigures };
  },
  distributions: Pick<Distributions, 'studentTQuantile'>,
): Comparison['roundsToDecide'] {
  const { input, estimate, margin, sides } = question;
  if (estimate === null || estimate.parts.length === 0) return null;
  const scatter = estimate.scatter.standardDeviation ?? scatterOfBoth(estimate, sides);
  if (scatter === null) return null;
  // Each in one session of its own: what more rounds in the same two sessions leave.
  const isAcross = estimate.dayShare > 0 && input.dayToDay !== null;
  const lasting = [
    ...scaleParts(estimate.scale),
    ...(isAcross
      ? [
          {
            variance: input.dayToDay.standardDeviation ** 2 * estimate.dayShare,
            degreesOfFreedom: input.dayToDay.degreesOfFreedom,
          },
        ]
      : []),
  ];
  const rounds = roundsForPower(
    {
      setupCount: estimate.scatter.way === 'rounds' ? estimate.scatter.contenderCount : 2,
      scatter,
      difference: margin,
      confidence: input.confidence,
      power: POWER,
      most: MOST_ROUNDS,
      lasting,
    },
    distributions,
  );
  const wanted = `a true difference of ${shortPercent(input.marginPercent)} in four of five cases`;
  const done = Math.min(sides.a.doneRounds, sides.b.doneRounds);
  if (rounds === null) {
    return {
      rounds,
      sentence:
        lasting.length === 0
          ? `More than ${MOST_ROUNDS} rounds would be needed to find ${wanted}: find out first why the runs scatter so much.`
          : `No number of rounds up to ${MOST_ROUNDS} finds ${wanted}, since the two were ${isAcross ? 'tested on different days' : 'read by different calibrations'}: pull both in one session.`,
    };
  }
  const enough = done >= rounds ? ` ${done} are done.` : '';
  return { rounds, sentence: `${rounds} rounds find ${wanted}, with the scatter that was found.${enough}` };
}

/** As one: the root mean square of both. */
function scatterOfBoth(
  { parts }: EstimatedDifference,
  { a, b }: { readonly a: SideFigures; readonly b: SideFigures },
): number | null {
  const variances = parts.map(({ variance }, index) => variance * (index === 0 ? a.count : b.count));
  return variances.length === 2 ? Math.sqrt(sumOf(variances) / 2) : null;
}
