import type { SchemeVersion, Term, TermWay } from './scheme-model.ts';
import { describeTermMeasure, formatFactor, listInWords, quoted } from './term-words.ts';

/** What is other in a term, each as part of a sentence: "its factor is 2, was 1". */
export function termChanges(from: Term, to: Term): string[] {
  const changes: string[] = [];
  const add = (what: string, was: string, is: string): void => {
    if (was !== is) changes.push(`${what} is ${is}, was ${was}`);
  };
  const measureOf = (term: Term): string => describeTermMeasure(term.measure, () => null);
  add('what it scores', measureOf(from), measureOf(to));
  add('what is better', from.better, to.better);
  add('its way to points', describeWay(from.how), describeWay(to.how));
  add('its factor', formatFactor(from.factor), formatFactor(to.factor));
  add('its cap', capInWords(from.cap), capInWords(to.cap));
  add('its rule for what is missing', missingInWords[from.missing], missingInWords[to.missing]);
  return changes;
}

/** What is other in a scheme, each as a sentence; a name or a note changes no cell. */
export function schemeChanges(from: SchemeVersion, to: SchemeVersion): string[] {
  const before = new Map(from.terms.map((term) => [term.id, term]));
  const after = new Map(to.terms.map((term) => [term.id, term]));
  const sentences: string[] = [];
  for (const term of to.terms) {
    const earlier = before.get(term.id);
    if (earlier === undefined) {
      sentences.push(`${quoted(term.label)} is a new term.`);
      continue;
    }
    const changes = termChanges(earlier, term);
    if (earlier.label !== term.label) changes.unshift(`it is called so, was ${quoted(earlier.label)}`);
    if (changes.length > 0) sentences.push(`${quoted(term.label)}: ${listInWords(changes)}.`);
  }
  for (const term of from.terms) {
    if (!after.has(term.id)) sentences.push(`${quoted(term.label)} is no term any more.`);
  }
  if (from.isNormalised !== to.isNormalised) {
    sentences.push(
      to.isNormalised
        ? 'Totals are divided by the sum of the factors now.'
        : 'Totals are not divided by the sum of the factors any more.',
    );
  }
  return sentences;
}

const missingInWords: Readonly<Record<Term['missing'], string>> = {
  leaveOut: '“left out”',
  zero: '“zero points”',
  notRanked: '“not ranked”',
};

function describeWay(how: TermWay): string {
  switch (how.way) {
    case 'perUnit':
      return `${formatFactor(how.points)} points for each ${formatFactor(how.amount)}`;
    case 'shareOfBest':
      return `${formatFactor(how.points)} points for the best`;
    case 'shareOfReference':
      return `${formatFactor(how.points)} points for the reference ${how.reference.is === 'value' ? formatFactor(how.reference.value) : how.reference.key}`;
    case 'steps':
      return `steps ${how.steps.map(({ from, points }) => `${formatFactor(from)}: ${formatFactor(points)}`).join(', ')}`;
  }
}

function capInWords(cap: number | null): string {
  return cap === null ? 'none' : formatFactor(cap);
}
