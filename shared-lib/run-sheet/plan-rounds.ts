import type { z } from 'zod';
import type { Distributions } from '../calibration/distributions.ts';
import { formatDuration, formatNumber, THIN_SPACE } from '../format-quantity.ts';
import { MOST_PULLS } from './check-draft.ts';
import { countPulls, expandRunSheet } from './expand-run-sheet.ts';
import { planSchema, type Plan } from './plan-model.ts';
import type { runSheetRequests } from './run-sheet-requests.ts';
import type { SetupAsTested } from './setup-model.ts';
import { sheetDurationS, BESIDE_THE_PULL_S } from './sheet-duration.ts';

export type RoundsQuestion = z.infer<(typeof runSheetRequests)['planRounds']['params']>;
export type RoundsAnswer = z.infer<(typeof runSheetRequests)['planRounds']['result']>;

/** As many as a plan can have. */
const MOST_ROUNDS = planSchema.shape.rounds.maxValue ?? 30;
const POWER = 0.8;
const TWO_SIDED_95 = 0.975;

/**
 * The fewest rounds in which a true difference between two of the setups is found in so many of cases (`power`) by the
 * two-sided 95 % test, or null where it takes more than `most`.
 *
 * On ln(measure), with complete rounds of K setups: the difference of two means has the standard error s sqrt(2/R), s from the
 * two-way residual with nu = (K - 1)(R - 1) degrees of freedom. The least R >= 2 with
 *
 *   R >= 2 (s / delta)^2 (t_0.975(nu) + t_power(nu))^2
 *
 * where nu itself hangs on R: the iteration of NIST/SEMATECH e-Handbook 7.2.2.2, from memory. It takes the t beyond the
 * difference for a central one; against the exact power by the noncentral t it gave the same R for 2 to 10 setups and
 * s / delta from 0.1 to 2 (worked out once with scipy).
 */
export function roundsToFind(
  question: {
    readonly setupCount: number;
    /** Standard deviation of one pull and least difference to be found, both of ln(measure). */
    readonly scatter: number;
    readonly difference: number;
    readonly power: number;
    readonly most: number;
  },
  distributions: Distributions,
): number | null {
  for (let rounds = 2; rounds <= question.most; rounds += 1) {
    if (question.difference >= leastDifference({ ...question, rounds }, distributions)) return rounds;
  }
  return null;
}

/** The other way round: the least difference that so many rounds find, of ln(measure). */
export function leastDifference(
  question: {
    readonly setupCount: number;
    readonly rounds: number;
    readonly scatter: number;
    readonly power: number;
  },
  distributions: Distributions,
): number {
  const { setupCount, rounds, scatter, power } = question;
  const degreesOfFreedom = (setupCount - 1) * (rounds - 1);
  const t =
    distributions.studentTQuantile(TWO_SIDED_95, degreesOfFreedom) +
    distributions.studentTQuantile(power, degreesOfFreedom);
  return t * scatter * Math.sqrt(2 / rounds);
}

/**
 * How many rounds a true difference of the margin takes (80 % power), and how many fit into the time at hand.
 *
 * The scatter is that of one pull to the next of the same setup in percent, taken as standard deviation of ln(measure); the
 * margin m counts as ln(1 + m). Repeats within a round are not taken for rounds. The time is that of the sheet in rounds, by
 * planned times and our own for handling (sheet-duration.ts), with rests that run while other setups pull.
 */
export function planRounds(question: RoundsQuestion, distributions: Distributions): RoundsAnswer {
  const { plan, setupCount, hasReference, minutesAtHand, scatterPercent, marginPercent } = question;
  const scatter = scatterPercent / 100;
  const difference = Math.log1p(marginPercent / 100);
  const roundsNeeded = roundsToFind(
    { setupCount, scatter, difference, power: POWER, most: MOST_ROUNDS },
    distributions,
  );
  const timeOf = (rounds: number): number => sheetDurationS(sheetOf(plan, setupCount, hasReference, rounds));
  const pullsIn = (rounds: number): number =>
    countPulls({ plan: { ...plan, rounds }, order: 'rounds' }, setupCount, hasReference ? 'apart' : 'none');
  const shortestPullS = BESIDE_THE_PULL_S + Math.min(...plan.steps.map(({ plannedS }) => plannedS));
  // Sheets of a hundred thousand pulls are not laid out to see that they do not fit.
  const roundsThatFit = mostThatFit(
    (rounds) => pullsIn(rounds) * shortestPullS <= 60 * minutesAtHand && timeOf(rounds) <= 60 * minutesAtHand,
  );
  // Two rounds on, since the border between two rounds may cost a rest.
  const roundS = (timeOf(3) - timeOf(1)) / 2;
  const leastPercentAt = (rounds: number): number =>
    100 * Math.expm1(leastDifference({ setupCount, rounds, scatter, power: POWER }, distributions));

  const percent = (value: number): string =>
    `${formatNumber(value, Number.isInteger(value) ? 0 : value < 1 ? 2 : 1)}${THIN_SPACE}%`;
  const margin = percent(marginPercent);
  const sentences = [
    roundsNeeded === null
      ? `More than ${MOST_ROUNDS} rounds would be needed to find a true difference of ${margin} in four of five cases when pulls scatter by ${percent(scatterPercent)}. Take a larger margin, or find out first why the pulls scatter so much.`
      : `${roundsNeeded} rounds of ${setupCount} setups find a true difference of ${margin} in four of five cases when pulls scatter by ${percent(scatterPercent)} (two-sided 95${THIN_SPACE}% test).`,
    `A round takes about ${formatDuration(roundS, 0)} with rests and changing tools${hasReference && plan.reference !== null ? ' and its reference pulls' : ''}.`,
    fitSentence(roundsThatFit, minutesAtHand, leastPercentAt, percent, timeOf(1)),
  ];
  const enough = roundsNeeded ?? MOST_ROUNDS;
  if (roundsThatFit >= 1 && roundsThatFit < enough) {
    sentences.push(
      'That is too short for the margin: take fewer setups or steps, more time, or go on tomorrow after a whole round.',
    );
  }
  if (roundsNeeded !== null && roundsNeeded < plan.roundsToPublish) {
    sentences.push(
      `The plan wants ${plan.roundsToPublish} rounds for a published result, whatever the margin takes.`,
    );
  }
  if (roundsNeeded !== null && pullsIn(roundsNeeded) > MOST_PULLS) {
    sentences.push(`One sheet takes ${MOST_PULLS} pulls; so many rounds need several sheets.`);
  }
  return { roundsNeeded, roundsThatFit, roundS, sentences };
}

function fitSentence(
  roundsThatFit: number,
  minutesAtHand: number,
  leastPercentAt: (rounds: number) => number,
  percent: (value: number) => string,
  firstRoundS: number,
): string {
  const time = formatDuration(60 * minutesAtHand, 0);
  if (roundsThatFit === 0) {
    return `Not even one round fits into ${time}: with what comes before and after it, it takes about ${formatDuration(firstRoundS, 0)}.`;
  }
  if (roundsThatFit === 1) {
    return `One round fits into ${time}, and one round says nothing about scatter: no difference could be told from chance.`;
  }
  return `${roundsThatFit === MOST_ROUNDS ? 'At least ' : ''}${roundsThatFit} rounds fit into ${time}; they find true differences from ${percent(leastPercentAt(roundsThatFit))} up.`;
}

/** Time grows with each round, so that halving finds the last one that fits. */
function mostThatFit(fits: (rounds: number) => boolean): number {
  let most = 0;
  let tooMany = MOST_ROUNDS + 1;
  while (tooMany - most > 1) {
    const middle = Math.floor((most + tooMany) / 2);
    if (fits(middle)) most = middle;
    else tooMany = middle;
  }
  return most;
}

/** The sheet that would be made. Which seed it has moves a rest or two. */
function sheetOf(plan: Plan, setupCount: number, hasReference: boolean, rounds: number) {
  const setups = Array.from({ length: setupCount }, (_, index) => anySetup(`setup ${index + 1}`));
  return expandRunSheet(
    {
      plan: { ...plan, rounds },
      setupIds: setups.map(({ setupId }) => setupId),
      order: 'rounds',
      seed: 0,
    },
    setups,
    hasReference ? anySetup('reference') : null,
  );
}

function anySetup(name: string): SetupAsTested {
  return {
    setupId: name,
    toolId: name,
    toolName: name,
    supply: 'battery',
    declaredVibrationMps2: null,
    declaredNoiseDbA: null,
    packId: null,
    packName: null,
    packCapacityAh: null,
    setting: '',
    socket: null,
  };
}
