import { formatNumber } from '../../format-quantity.ts';
import type { SchemeDraft, SchemeFinding, SchemeVersion, Term, TermMeasure } from '../scheme-model.ts';
import { shortNumber } from '../../format-significant.ts';

/** Rules in words: what a term brings, and what a version has other than the one before. */
export interface SchemeWords {
  /** A value of a measure, in SI, with its unit. */
  readonly value: (measure: TermMeasure, value: number) => string;
  readonly measure: (measure: TermMeasure) => string;
  readonly contender: (key: string) => string;
}

export const missingWords: Readonly<Record<Term['missing'], string>> = {
  leaveOut: 'left out where missing',
  zero: 'zero points where missing',
  notRanked: 'not ranked where missing',
};

/** "100 points for the best, the others in proportion; twice; at most 120 points; left out where missing". */
export function termWords(term: Term, words: SchemeWords): string {
  const parts = [
    wayWords(term, words),
    ...(term.better === 'less' && (term.how.way === 'shareOfBest' || term.how.way === 'shareOfReference')
      ? ['less is better']
      : []),
    ...(term.factor === 1 ? [] : [`times ${shortNumber(term.factor)}`]),
    ...(term.cap === null ? [] : [`at most ${shortPoints(term.cap)}`]),
    missingWords[term.missing],
  ];
  return parts.join('; ');
}

function wayWords({ how, measure }: Term, { value, contender }: SchemeWords): string {
  switch (how.way) {
    case 'perUnit':
      return `${shortPoints(how.points)} for each ${value(measure, how.amount)}`;
    case 'shareOfBest':
      return `${shortPoints(how.points)} for the best, the others in proportion`;
    case 'shareOfReference': {
      const { reference } = how;
      const whose =
        reference.is === 'contender'
          ? `what ${contender(reference.key)} has`
          : value(measure, reference.value);
      return `${shortPoints(how.points)} for ${whose}, the others in proportion`;
    }
    case 'steps':
      return how.steps
        .map(({ from, points }) => `${shortPoints(points)} from ${value(measure, from)}`)
        .join(', ');
  }
}

function shortPoints(points: number): string {
  return `${shortNumber(points)} ${points === 1 ? 'point' : 'points'}`;
}

/** What a version has other than an older one, a sentence each; none where nothing is other. */
export function versionDifferences(older: SchemeDraft, newer: SchemeDraft, words: SchemeWords): string[] {
  const before = new Map(older.terms.map((term) => [term.id, term]));
  const after = new Set(newer.terms.map(({ id }) => id));
  const sentences = newer.terms.flatMap((term) => {
    const was = before.get(term.id);
    if (was === undefined) return [`Added: ${term.label} (${termWords(term, words)}).`];
    return termDifferences(was, term, words);
  });
  for (const term of older.terms) if (!after.has(term.id)) sentences.push(`Removed: ${term.label}.`);
  const kept = (draft: SchemeDraft, others: ReadonlySet<string>) =>
    draft.terms.flatMap(({ id }) => (others.has(id) ? [id] : [])).join(' ');
  if (kept(older, after) !== kept(newer, new Set(before.keys()))) {
    sentences.push('The terms stand in another order, which changes no points.');
  }
  if (older.isNormalised !== newer.isNormalised) {
    sentences.push(
      newer.isNormalised
        ? 'The total is now divided by the sum of the factors.'
        : 'The total is no longer divided by the sum of the factors.',
    );
  }
  if (older.name !== newer.name) sentences.push(`Renamed from “${older.name}”.`);
  return sentences;
}

function termDifferences(older: Term, newer: Term, words: SchemeWords): string[] {
  const sentences: string[] = [];
  if (older.label !== newer.label) sentences.push(`“${older.label}” is now called “${newer.label}”.`);
  if (JSON.stringify(older.measure) !== JSON.stringify(newer.measure)) {
    sentences.push(
      `${newer.label}: measured is now ${words.measure(newer.measure)}, was ${words.measure(older.measure)}.`,
    );
  }
  if (older.better !== newer.better) {
    sentences.push(`${newer.label}: ${newer.better} is now better.`);
  }
  const [was, is] = [termWords(older, words), termWords(newer, words)];
  if (was !== is) sentences.push(`${newer.label}: ${is}. Before: ${was}.`);
  return sentences;
}

/** Findings of a term, or of the scheme as a whole (`termId` null); what stops stands first. */
export function findingsOf(findings: readonly SchemeFinding[], termId: string | null): SchemeFinding[] {
  const order = { stop: 0, caution: 1, note: 2 } as const;
  return findings
    .filter((finding) => finding.termId === termId)
    .toSorted((a, b) => order[a.severity] - order[b.severity]);
}

/** "Version 3". */
export function versionWords({ version }: Pick<SchemeVersion, 'version'>): string {
  return `Version ${formatNumber(version, 0)}`;
}
