import { factorSum, LEFT_OUT, SCORED } from './score-terms.ts';
import { findProperty, type ScoredInput } from './score-input.ts';
import type { ToolProperty } from './scheme-model.ts';
import { describeProperty, quoted } from './term-words.ts';
import type { ScoredTrial } from './standings-model.ts';

/** Why subject k has no value or no points in a term, as a sentence. */
export function whyMissing(scored: ScoredInput, scheme: number, term: number, k: number): string {
  const { field, columns } = scored;
  const bound = field.schemes[scheme]?.terms[term];
  const subject = field.subjects[k];
  if (bound === undefined || subject === undefined) return 'It is not in the table.';
  if (bound.brokenBecause !== null) return bound.brokenBecause;
  const value = columns[scheme]?.values[term]?.[k] ?? Number.NaN;
  if (!Number.isNaN(value)) return whyNoPoints(scored, scheme, term, value);
  const { measure, property } = bound;
  switch (bound.term.measure.of) {
    case 'trial':
      return whyNoMean(scored, measure, subject.contender.key);
    case 'tool':
      return whyNoProperty(scored, property, k);
    case 'ratio': {
      const hasMean = !Number.isNaN(scored.base.measures[measure]?.[k] ?? Number.NaN);
      return hasMean ? whyNoProperty(scored, property, k) : whyNoMean(scored, measure, subject.contender.key);
    }
    case 'scheme': {
      const name = field.schemes[bound.scheme]?.version.name ?? bound.term.measure.schemeId;
      return `It is not ranked by ${quoted(name)}. ${whyNotRanked(scored, bound.scheme, k).join(' ')}`;
    }
  }
}

/** All reasons why subject k has no total in a scheme, as sentences; none where it has one. */
export function whyNotRanked(scored: ScoredInput, scheme: number, k: number): string[] {
  const bound = scored.field.schemes[scheme];
  const columns = scored.columns[scheme];
  const subject = scored.field.subjects[k];
  if (bound === undefined || columns === undefined || subject === undefined)
    return ['It is not in the table.'];
  if (columns.isRanked[k] === 1) return [];
  const reasons = subject.notRankedBecause === null ? [] : [subject.notRankedBecause];
  for (const [index, { term }] of bound.terms.entries()) {
    if (term.missing !== 'notRanked' || columns.parts[index]?.[k] !== LEFT_OUT) continue;
    reasons.push(`${term.label}: ${whyMissing(scored, scheme, index, k)}`);
  }
  if (reasons.length > 0) return reasons;
  if (!columns.parts.some((part) => part[k] === SCORED)) {
    return [
      'It has no value for any term.',
      ...bound.terms.map(({ term }, index) => `${term.label}: ${whyMissing(scored, scheme, index, k)}`),
    ];
  }
  const sum = factorSum(bound, columns.parts, k);
  return [
    `The factors of the terms for which it has values sum to ${sum === 0 ? 'zero' : 'less than zero'}, so its total cannot be normalised.`,
  ];
}

function whyNoPoints({ field, columns }: ScoredInput, scheme: number, term: number, value: number): string {
  const bound = field.schemes[scheme]?.terms[term];
  const how = bound?.term.how;
  if (how?.way === 'shareOfReference' && how.reference.is === 'contender') {
    const reference = field.subjects[bound?.reference ?? -1];
    if (reference === undefined) {
      return 'The reference that its share is taken of is not in the table. Choose another one in the scheme.';
    }
    const itsValue = columns[scheme]?.values[term]?.[bound?.reference ?? -1] ?? Number.NaN;
    const { label } = reference.contender;
    if (Number.isNaN(itsValue)) return `The reference, ${label}, has no value of its own here.`;
    if (!(itsValue > 0)) return `The reference, ${label}, has zero or less, and nobody has a share of that.`;
  }
  return value > 0
    ? 'The best has zero or less, and nobody has a share of that.'
    : 'Its value is zero or less, and no share can be made of that.';
}

function whyNoProperty({ field }: ScoredInput, property: ToolProperty | null, k: number): string {
  const subject = field.subjects[k];
  if (subject === undefined || property === null) return 'It is not in the table.';
  const found = findProperty(subject, property);
  return found?.missing ?? `Nothing is known of its ${describeProperty(property)}.`;
}

function whyNoMean({ trialsOf }: ScoredInput, measure: number, key: string): string {
  const { valueless, leftOut } = trialsOf(measure, key);
  const reasons = tally(leftOut);
  if (valueless.length > 0) {
    const count = valueless.length;
    const others = leftOut.length === 0 ? '' : ` ${leftOut.length} more left out: ${reasons}.`;
    return count === 1
      ? `Its one trial that counts has no such value: ${whyValueless(valueless, measure)}${others}`
      : `None of its ${count} trials that count has such a value: ${whyValueless(valueless, measure)}${others}`;
  }
  if (leftOut.length === 0) return 'It has no trial of this step.';
  return leftOut.length === 1
    ? `Its only trial of this step does not count: ${reasons}.`
    : `None of its ${leftOut.length} trials of this step counts: ${reasons}.`;
}

function whyValueless(valueless: readonly ScoredTrial[], measure: number): string {
  const unasked = countUnasked(valueless, measure);
  const isOne = valueless.length === 1;
  const notThere = `it was not reached, or the ${isOne ? 'curve does' : 'curves do'} not carry it.`;
  if (unasked === 0) return notThere;
  const measured = `the time to this torque was not asked for when ${isOne ? 'it was' : 'they were'} measured`;
  return unasked === valueless.length
    ? `${measured}. ${MEASURED_BY_COMPARISON}`
    : `of ${unasked} ${measured}; of the others ${notThere} ${MEASURED_BY_COMPARISON}`;
}

/** In the words of a whole field that is compared. */
export const MEASURED_BY_COMPARISON = 'A comparison of two measures it.';

/** Of how many nobody asked for the value when they were measured. */
export function countUnasked(trials: readonly ScoredTrial[], measure: number): number {
  return trials.filter(({ values }) =>
    values.some((value) => value.measure === measure && value.wasAsked === false),
  ).length;
}

/** "voided (2), not kept". */
function tally(trials: readonly ScoredTrial[]): string {
  const counts = new Map<string, number>();
  for (const { leftOutBecause } of trials) {
    const reason = (leftOutBecause ?? 'left out').replace(/\.$/, '');
    counts.set(reason, (counts.get(reason) ?? 0) + 1);
  }
  return [...counts].map(([reason, count]) => (count === 1 ? reason : `${reason} (${count})`)).join(', ');
}
