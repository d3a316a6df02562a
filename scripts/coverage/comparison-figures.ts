import type { Distributions } from '../../shared-lib/calibration/distributions.ts';
import { powerOfTost, powerOfTTest } from '../../shared-lib/comparison/power.ts';
import type { Figure } from '../measured-figures.ts';
import { pointsHoldAllPlaces } from './study-places.ts';
import {
  type ComparedDay,
  fieldHoldsAllPlaces,
  type TwoDays,
  verdictsAcross,
  verdictsWithin,
} from './study-comparisons.ts';

const COMPARISONS = 2000;
const MOST_FALSE = 0.05;
const LEAST_HELD = 0.93;
/** Fewer than the program takes, which moves the critical value by some tenths of a percent. */
const DRAWS = 2000;
const SCATTER = 0.015;
const DRIFT_PER_PULL = 0.005;
const DAY_SCATTER = 0.01;

const percent = (share: number): number => Math.round(share * 1000) / 10;
const simulationError = (share: number): number => Math.sqrt((share * (1 - share)) / COMPARISONS);

const MARGIN_PERCENT = 5;
/** Next to nothing is level by it, so that every difference that is told from zero is called ahead or behind. */
const NO_MARGIN_PERCENT = 0.1;

const equal = (rounds: number, driftPerPull: number, marginPercent: number): ComparedDay => ({
  rounds,
  scatter: SCATTER,
  ratio: 1,
  driftPerPull,
  marginPercent,
});

/** Twice the simulation error on top, which one of forty such figures passes by chance. */
function falselyApart(share: number, what: string): Figure {
  const limit = MOST_FALSE + 2 * simulationError(MOST_FALSE);
  return {
    value: percent(share),
    unit: '% of equal pairs called ahead or behind',
    baseline: percent(MOST_FALSE),
    limit: percent(limit),
    met: share <= limit,
    note: `${COMPARISONS} seeded comparisons of two equal tools that scatter by ${percent(SCATTER)} %: ${what} A margin of 0.1 %, so that nothing is called level instead. Baseline: what the interval allows; the limit has twice the simulation error on top.`,
  };
}

export function falseVerdictsWithin(distributions: Distributions): Record<string, Figure> {
  const figures: Record<string, Figure> = {};
  for (const rounds of [2, 3, 5]) {
    for (const [name, drift] of [
      ['steady', 0],
      ['drifting', DRIFT_PER_PULL],
    ] as const) {
      const { apart } = verdictsWithin(equal(rounds, drift, NO_MARGIN_PERCENT), COMPARISONS, distributions);
      figures[`apart.${String(rounds)}.${name}`] = falselyApart(
        apart,
        `one session, ${rounds} rounds in ABBA order, ${drift === 0 ? 'no drift' : `a drift of ${percent(drift)} % per pull`}.`,
      );
    }
  }
  return figures;
}

export function falseVerdictsAcross(distributions: Distributions): Record<string, Figure> {
  const figures: Record<string, Figure> = {};
  const known: readonly (readonly [string, TwoDays, string])[] = [
    [
      'known',
      { dayScatter: DAY_SCATTER, days: 'exactly', pullsPerDay: 0 },
      `${percent(DAY_SCATTER)} % from day to day, known exactly`,
    ],
    [
      'threeDays',
      { dayScatter: DAY_SCATTER, days: 3, pullsPerDay: 3 },
      `${percent(DAY_SCATTER)} % from day to day, taken from three days of a reference tool`,
    ],
    [
      'eightDays',
      { dayScatter: DAY_SCATTER, days: 8, pullsPerDay: 3 },
      `${percent(DAY_SCATTER)} % from day to day, taken from eight days of a reference tool`,
    ],
  ];
  for (const rounds of [2, 3, 5]) {
    for (const [name, twoDays, words] of known) {
      const { apart } = verdictsAcross(
        equal(rounds, 0, NO_MARGIN_PERCENT),
        twoDays,
        COMPARISONS,
        distributions,
      );
      figures[`apart.${String(rounds)}.across.${name}`] = falselyApart(
        apart,
        `two sessions with ${rounds} pulls each, ${words}.`,
      );
    }
  }
  return figures;
}

/** What is there is found as often as it can be: the share beside the exact power, within three simulation errors. */
export function foundVerdicts(distributions: Distributions): Record<string, Figure> {
  const figures: Record<string, Figure> = {};
  for (const rounds of [3, 5]) {
    // Two tools: (K - 1)(R - 1) degrees of freedom, s sqrt(2 / R).
    const truth = { standardError: SCATTER * Math.sqrt(2 / rounds), degreesOfFreedom: rounds - 1 };
    const level = verdictsWithin(equal(rounds, 0, MARGIN_PERCENT), COMPARISONS, distributions).level;
    const exactLevel = powerOfTost(
      { ...truth, difference: 0 },
      Math.log1p(MARGIN_PERCENT / 100),
      0.95,
      distributions,
    );
    figures[`level.${String(rounds)}`] = besideExact(
      level,
      exactLevel,
      '% of equal pairs called level',
      `two equal tools, ${rounds} rounds, margin 5 %.`,
    );
    const apartBySix = { ...equal(rounds, 0, NO_MARGIN_PERCENT), ratio: 1.06 };
    const { apart } = verdictsWithin(apartBySix, COMPARISONS, distributions);
    const exactApart = powerOfTTest({ ...truth, difference: Math.log(1.06) }, 0.95, distributions);
    figures[`found.${String(rounds)}`] = besideExact(
      apart,
      exactApart,
      '% of pairs 6 % apart found so',
      `a true difference of 6 %, ${rounds} rounds.`,
    );
  }
  return figures;
}

function besideExact(share: number, exact: number, unit: string, what: string): Figure {
  const error = simulationError(exact);
  return {
    value: percent(share),
    unit,
    baseline: percent(exact),
    limit: percent(exact - 3 * error),
    met: Math.abs(share - exact) <= 3 * error,
    note: `${COMPARISONS} seeded comparisons, scatter ${percent(SCATTER)} %: ${what} Baseline: the exact power; within three simulation errors (${percent(3 * error)} points) either way.`,
  };
}

export function placesOfEquals(distributions: Distributions): Record<string, Figure> {
  const field = { tools: 10, rounds: 3, scatter: SCATTER };
  return {
    'places.measure': placesFigure(
      fieldHoldsAllPlaces(field, COMPARISONS, distributions),
      'by one measure (Tukey and Kramer).',
    ),
    'places.points': placesFigure(
      pointsHoldAllPlaces({ ...field, draws: DRAWS }, COMPARISONS, distributions),
      `by points for torque both ways, ${DRAWS} draws each.`,
    ),
  };
}

function placesFigure(held: number, how: string): Figure {
  return {
    value: percent(held),
    unit: '% of fields in which all ranges hold all places at once',
    baseline: 95,
    limit: percent(LEAST_HELD),
    met: held >= LEAST_HELD,
    note: `${COMPARISONS} seeded fields of ten equal tools with three rounds each, ${how} Baseline: what the ranges state.`,
  };
}
