import type { SideFigures, TwoInput } from './two-model.ts';
import { countOf, percentMore, percentRange, percentText, shortPercent } from './comparison-words.ts';
import type { Verdict } from './comparison-model.ts';
import type { EstimatedDifference } from './estimate-difference.ts';
import type { Limits } from './verdict.ts';
import type { Difference } from './welch.ts';

export interface TwoInWords {
  readonly input: TwoInput;
  readonly estimate: EstimatedDifference | null;
  readonly verdict: Verdict;
  readonly sides: { readonly a: SideFigures; readonly b: SideFigures };
  readonly isProvisional: boolean;
  /** Of ln(measure), A minus B. */
  readonly interval: Limits | null;
  readonly levelInterval: Limits | null;
}

/** The answer for a person: who is ahead, by how much, with the interval, and what restricts it. */
export function sentenceOfTwo(two: TwoInWords): string {
  const { input, estimate, sides, isProvisional } = two;
  const { plannedRounds } = input;
  const test = estimate?.test ?? null;
  const sentences = [
    test === null || two.interval === null || two.levelInterval === null
      ? whatIsMissing(two)
      : `${answer(two, test, two.interval, two.levelInterval)}. ${values(two)}`,
  ];
  if (estimate?.isDayToDayUnknown === true) {
    sentences.push('Across sessions, day-to-day scatter unknown: the interval is too narrow.');
  } else if ((estimate?.dayShare ?? 0) > 0) {
    sentences.push('Across sessions, with the day-to-day scatter in the interval.');
  }
  if (estimate?.scale.isUnknown === true) {
    sentences.push('Across calibrations, not all with a stated uncertainty: the interval is too narrow.');
  }
  if (!input.isLikeForLike) sentences.push('Not like for like.');
  if (isProvisional) {
    const done = Math.min(...openRounds(sides.a, plannedRounds.a), ...openRounds(sides.b, plannedRounds.b));
    const planned = Math.max(plannedRounds.a ?? 0, plannedRounds.b ?? 0);
    sentences.push(`Provisional: ${done} of ${countOf(planned, 'planned round', 'planned rounds')} done.`);
  }
  return sentences.join(' ');
}

function openRounds({ doneRounds }: SideFigures, planned: number | null): number[] {
  return planned !== null && doneRounds < planned ? [doneRounds] : [];
}

function answer(
  { input, estimate, verdict }: TwoInWords,
  test: Difference,
  interval: Limits,
  level: Limits,
): string {
  const { words, better, confidence } = input;
  const isALarger = test.difference >= 0;
  // Turned so that it says how much more the larger one has.
  const [larger, smaller] = isALarger ? [words.a, words.b] : [words.b, words.a];
  const up = ({ low, high }: Limits): Limits => (isALarger ? { low, high } : { low: -high, high: -low });
  const range = (limits: Limits, share: number): string =>
    `(${shortPercent(100 * share)}: ${percentRange(percentMore(up(limits).low), percentMore(up(limits).high))})`;
  const by = percentText(percentMore(Math.abs(test.difference)));
  const wide = range(interval, confidence);
  const margin = shortPercent(input.marginPercent);
  const [first, second] = better === 'more' ? [larger, smaller] : [smaller, larger];
  const lead =
    better === 'more'
      ? `${first} is ahead of ${second} by ${by} in ${words.what} ${wide}`
      : `${first} is ahead of ${second} in ${words.what}: ${second} takes ${by} longer ${wide}`;
  switch (verdict) {
    case 'aheadByMargin':
    case 'behindByMargin':
      return `${lead}, at least the margin of ${margin}`;
    case 'ahead':
    case 'behind':
      return estimate?.isDayToDayUnknown === true || estimate?.scale.isUnknown === true
        ? lead
        : `${lead}, though it may be less than the margin of ${margin}`;
    case 'level':
      return interval.low > 0 || interval.high < 0
        ? `${words.a} and ${words.b} are level in ${words.what}: ${larger} has ${by} more ${wide}, and the difference lies inside the margin of ${margin}`
        : `${words.a} and ${words.b} are level in ${words.what}: ${larger} has ${by} more ${range(level, 2 * confidence - 1)}, inside the margin of ${margin}`;
    case 'tooCloseToCall':
    case 'needsMoreRuns':
      return `Too close to call between ${words.a} and ${words.b} in ${words.what}: ${larger} has ${by} more ${wide}, which may be chance`;
  }
}

/** The means as a sentence, for whoever wants more than a ratio. */
function values({ input: { words }, sides }: TwoInWords): string {
  const [a, b] = [sides.a.mean ?? Number.NaN, sides.b.mean ?? Number.NaN];
  return `${words.a}: ${words.format(a)}; ${words.b}: ${words.format(b)}; difference ${words.formatDifference(Math.abs(a - b))}.`;
}

function whatIsMissing(two: TwoInWords): string {
  const {
    input: { words },
    sides,
  } = two;
  const empty = [
    { label: words.a, side: sides.a },
    { label: words.b, side: sides.b },
  ].filter(({ side }) => side.count === 0);
  if (empty.length > 0) {
    const each = empty.map(({ label, side: { noValueCount } }) =>
      noValueCount === 0
        ? `${label} has no run that counts`
        : `${label} has no ${words.what} in ${countOf(noValueCount, 'run', 'runs')}`,
    );
    return `Needs more runs: ${each.join(', and ')}.`;
  }
  const why =
    sides.a.count === 1 && sides.b.count === 1
      ? 'with one run of each nothing is known of how runs scatter'
      : 'the runs at hand do not show how runs scatter';
  return `Needs more runs: ${why}. ${values(two)}`;
}
