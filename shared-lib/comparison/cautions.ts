import { numberBlocks } from '../run-sheet/setup-figures.ts';
import type { SideFigures, TwoInput } from './two-model.ts';
import type { ComparedTrial, Comparison, Verdict } from './comparison-model.ts';
import { countOf, percentText, sentenceCase, STATIC_CALIBRATION } from './comparison-words.ts';
import { dayToDaySentence } from './day-to-day.ts';
import type { EstimatedDifference } from './estimate-difference.ts';
import { groupBy, observe } from './observations.ts';
import { doScalesCancel } from './scale-difference.ts';

export interface TwoSeen {
  readonly input: TwoInput;
  /** That take part, with a value or without. */
  readonly trials: readonly ComparedTrial[];
  readonly estimate: EstimatedDifference | null;
  readonly verdict: Verdict;
  readonly sides: { readonly a: SideFigures; readonly b: SideFigures };
  readonly isProvisional: boolean;
}

/** What is to be known beside the verdict. */
export function cautionsOfTwo(seen: TwoSeen): string[] {
  const { input, estimate, sides, isProvisional } = seen;
  const { words, plannedRounds, dayToDay } = input;
  const labelled = [
    { key: input.a, label: words.a, side: sides.a, planned: plannedRounds.a },
    { key: input.b, label: words.b, side: sides.b, planned: plannedRounds.b },
  ];
  const cautions: string[] = [];
  if (!input.isLikeForLike) {
    cautions.push('Not like for like: the benches of the two differ, and so may their readings.');
  }
  if (estimate?.isDayToDayUnknown === true) {
    cautions.push(
      'Across sessions, day-to-day scatter unknown: a difference between the days counts as one between the tools. Pull both in one session, or a reference tool on at least three days.',
    );
  } else if (estimate !== null && estimate.dayShare > 0 && dayToDay !== null) {
    cautions.push(`Across sessions: ${dayToDaySentence(dayToDay)}`);
  }
  cautions.push(...scaleCautions(estimate));
  if (isProvisional) {
    cautions.push(
      'Provisional: the planned rounds are not all done. A verdict that is looked at until it pleases is no verdict.',
    );
  }
  const unplanned = labelled.filter(({ planned }) => planned === null);
  if (unplanned.length > 0) {
    cautions.push(
      `No plan fixed beforehand how many runs ${unplanned.map(({ label }) => label).join(' and ')} would have: whoever stops when the result pleases is right too often.`,
    );
  }
  for (const { label, side } of labelled) {
    if (side.noValueCount > 0) {
      cautions.push(
        `${label}: ${countOf(side.noValueCount, 'run has', 'runs have')} no ${words.what} and ${side.noValueCount === 1 ? 'is' : 'are'} not compared. What is left may flatter it.`,
      );
    }
  }
  const outside = outsideOfRounds(seen);
  if (outside > 0) {
    cautions.push(
      `${sentenceCase(countOf(outside, 'run lies', 'runs lie'))} outside of complete rounds and ${outside === 1 ? 'is' : 'are'} shown, not compared.`,
    );
  }
  if (estimate?.isBorrowed === true) {
    const single = labelled.filter(({ key }) => isOncePerSession(estimate.used, key));
    cautions.push(borrowedCaution(single.map(({ label }) => label)));
  }
  const blocks = labelled.filter(({ key }) => isOneBlock(seen, key));
  if (blocks.length > 0) {
    cautions.push(
      `${blocks.map(({ label }) => label).join(' and ')}: all runs in one unbroken block. They share what the moment had and are not independent, so the interval is too narrow.`,
    );
  }
  cautions.push(
    `${STATIC_CALIBRATION} That error does not cancel between tools whose blows differ in shape.`,
  );
  return cautions;
}

function scaleCautions(estimate: EstimatedDifference | null): string[] {
  if (estimate === null || doScalesCancel(estimate.scale)) return [];
  const { calibrationCount, isUnknown, variance } = estimate.scale;
  const read = `The trials are read by ${calibrationCount} calibrations, whose scale errors do not cancel between the two.`;
  return [
    isUnknown
      ? `${read} Not all of them state an uncertainty, so nothing is called level or ahead by the margin.`
      : `${read} Their uncertainty, ${percentText(100 * Math.sqrt(variance), 2)} of the ratio, is in the interval.`,
  ];
}

const BORROWED =
  'one run in a session says nothing of its scatter; that of the other setups is taken for it.';

function borrowedCaution(labels: readonly string[]): string {
  return `${labels.join(' and ')}: ${BORROWED}`;
}

/**
 * As they were in comparisons of before, which took a session in which a side has runs without a value for one that says something of
 * its scatter. Others stand as they are.
 */
export function cautionsOfBefore({ cautions, a, b }: Pick<Comparison, 'cautions' | 'a' | 'b'>): string[] {
  const single = [a, b].filter(({ count, sessionCount }) => count === sessionCount);
  return cautions.map((caution) =>
    caution.endsWith(BORROWED) ? borrowedCaution(single.map(({ contender }) => contender.label)) : caution,
  );
}

/** Of the values that are compared: a session in which it has none says nothing of its scatter either. */
function isOncePerSession(used: EstimatedDifference['used'], wanted: string): boolean {
  const own = used.filter(({ key }) => key === wanted);
  return own.length === new Set(own.map(({ sessionId }) => sessionId)).size;
}

function outsideOfRounds({ input: { a, b }, trials, estimate }: TwoSeen): number {
  if (estimate === null) return 0;
  return observe(trials).filter(({ key }) => key === a || key === b).length - estimate.used.length;
}

/** Whether a session has several runs of it and they stand in one unbroken row, with nobody else's between them. */
function isOneBlock({ trials, estimate }: TwoSeen, wanted: string): boolean {
  const used = new Set(estimate?.used.map(({ trialId }) => trialId));
  return [...groupBy(trials, ({ sessionId }) => sessionId).values()].some((session) => {
    const inOrder = session.toSorted((one, other) => (one.startedAt < other.startedAt ? -1 : 1));
    const blockOf = numberBlocks(inOrder.map(({ contenderKey }) => contenderKey));
    const blocks = inOrder.flatMap(({ contenderKey, trialId }, index) =>
      contenderKey === wanted && used.has(trialId) ? [blockOf[index]] : [],
    );
    return blocks.length > 1 && new Set(blocks).size === 1;
  });
}
