import { AppError } from '../app-error.ts';
import type { BoundTerm } from './bind-schemes.ts';
import { mainScheme, schemeNameOf, scoreInput, findProperty, type ScoredInput } from './score-input.ts';
import { bestValue, referenceValue } from './score-terms.ts';
import type { Cell, Standings, StandingsInput } from './standings-model.ts';
import {
  describeProperty,
  describeTermMeasure,
  formatFactor,
  formatPoints,
  formatTermValue,
  listInWords,
  pointsInWords,
  quoted,
} from './term-words.ts';

export interface CellDescription {
  readonly cell: Cell;
  /** From value to points, a sentence per step. */
  readonly steps: string[];
  /** Where what is not measured comes from: prices, masses, claims, ratings. */
  readonly sources: string[];
}

/**
 * How one cell of the standings came about.
 *
 * Errors: 'contender-not-found' for a contender that is not in the table, 'scheme-invalid' for a term that its scheme
 * does not have.
 */
export function describeCell(
  input: StandingsInput,
  standings: Standings,
  key: string,
  termId: string,
): CellDescription {
  const row = [...standings.rows, ...standings.notRanked].find(({ contender }) => contender.key === key);
  if (row === undefined) {
    throw new AppError(
      'contender-not-found',
      'This contender is not in the table, so there is nothing behind the cell. Look at the table as it is now.',
      { key },
    );
  }
  const cell = row.cells.find((candidate) => candidate.termId === termId);
  const scored = scoreInput(input);
  const { scheme } = mainScheme(scored);
  const term = scheme.terms.findIndex((bound) => bound.term.id === termId);
  const bound = scheme.terms[term];
  if (cell === undefined || bound === undefined) {
    throw new AppError(
      'scheme-invalid',
      'The scheme of this table has no such term, so there is no such cell. Look at the table as it is now.',
      { termId },
    );
  }
  const k = scored.field.subjects.findIndex(({ contender }) => contender.key === key);
  const isRanked = 'place' in row;
  return {
    cell,
    steps: [
      ...valueSteps(scored, bound, cell, k),
      ...pointSteps(scored, { index: term, bound, k }, cell, isRanked),
    ],
    sources: sourcesOf(scored, scored.field.schemes.length - 1, term, k),
  };
}

function valueSteps(scored: ScoredInput, bound: BoundTerm, cell: Cell, k: number): string[] {
  const { term, measure, property } = bound;
  const { currency } = scored.input.table;
  if (cell.value === null) return [cell.missing ?? 'It has no value.'];
  const value = formatTermValue(term.measure, cell.value, currency);
  const words = describeTermMeasure(term.measure, schemeNameOf(scored));
  switch (term.measure.of) {
    case 'trial':
      return [
        cell.count === 1
          ? `Value: ${value}, from one trial (${words}).`
          : `Value: ${value}, the geometric mean of ${cell.count} trials (${words}).`,
      ];
    case 'ratio': {
      const { step, measure: figure, per } = term.measure;
      const mean = scored.base.measures[measure]?.[k] ?? Number.NaN;
      const divisor = property === null ? Number.NaN : (scored.base.properties[property]?.[k] ?? Number.NaN);
      const above = formatTermValue({ of: 'trial', step, measure: figure }, mean, currency);
      const below = formatTermValue({ of: 'tool', property: per }, divisor, currency);
      return [
        `${above} is the geometric mean of its ${cell.count === 1 ? 'one trial' : `${cell.count} trials`}; ${below} its ${describeProperty(per)}.`,
        `Value: ${above} over ${below} is ${value}.`,
      ];
    }
    case 'tool':
      return [`Value: ${value}, its ${words}.`];
    case 'scheme':
      return [`Value: ${pointsInWords(cell.value)}, its ${words}.`];
  }
}

function pointSteps(
  scored: ScoredInput,
  { index, bound, k }: { index: number; bound: BoundTerm; k: number },
  cell: Cell,
  isRanked: boolean,
): string[] {
  const { term } = bound;
  if (cell.value === null || cell.missing !== null) {
    const reason = cell.value === null || cell.missing === null ? [] : [cell.missing];
    if (!isRanked) return [...reason, 'It is not ranked, so it has no points.'];
    return [
      ...reason,
      cell.points === null
        ? 'The scheme leaves the term out of its total.'
        : 'The scheme counts what is missing as zero points. Zero was not measured.',
    ];
  }
  if (!isRanked) return ['It is not ranked, so it has no points.'];
  const raw = mainScheme(scored).columns.rawPoints[index]?.[k] ?? Number.NaN;
  const steps = [howPointsCame(scored, index, bound, cell.value, raw)];
  if (term.factor !== 1) {
    steps.push(`Times the factor ${formatFactor(term.factor)}: ${pointsInWords(raw * term.factor)}.`);
  }
  if (cell.isCapped && term.cap !== null) {
    steps.push(`The cap lets through ${pointsInWords(term.cap)} at most.`);
  }
  return steps;
}

function howPointsCame(
  scored: ScoredInput,
  index: number,
  bound: BoundTerm,
  value: number,
  raw: number,
): string {
  const { term } = bound;
  const { how, better } = term;
  const { columns } = mainScheme(scored);
  const { currency } = scored.input.table;
  const format = (amount: number): string => formatTermValue(term.measure, amount, currency);
  const values = columns.values[index] ?? new Float64Array();
  const result = pointsInWords(raw);
  switch (how.way) {
    case 'perUnit':
      return better === 'more'
        ? `${pointsInWords(how.points)} for each ${format(how.amount)}: ${result}.`
        : `${pointsInWords(how.points)} taken away for each ${format(how.amount)}, since less is better: ${result}.`;
    case 'shareOfBest': {
      const best = bestValue(better, values, columns.competes);
      const holders = scored.field.subjects.flatMap(({ contender }, k) =>
        values[k] === best && columns.isRanked[k] === 1 ? [contender.label] : [],
      );
      return `The best, ${listInWords(holders)}, has ${format(best)} and ${pointsInWords(how.points)}; ${shareInWords(better, how.points, format(best), format(value))}: ${result}.`;
    }
    case 'shareOfReference': {
      const reference = referenceValue(bound, values);
      const name = scored.field.subjects[bound.reference]?.contender.label;
      const who = name === undefined ? 'The reference' : `The reference, ${name},`;
      return `${who} has ${format(reference)} and ${pointsInWords(how.points)}; ${shareInWords(better, how.points, format(reference), format(value))}: ${result}.`;
    }
    case 'steps': {
      const reached =
        better === 'more'
          ? how.steps.findLast(({ from }) => value >= from)
          : how.steps.find(({ from }) => value <= from);
      if (reached === undefined) {
        return better === 'more'
          ? `It does not reach the first step, ${format(how.steps[0]?.from ?? 0)}: ${result}.`
          : `It lies above the last step, ${format(how.steps.at(-1)?.from ?? 0)}: ${result}.`;
      }
      return `It reaches the step ${better === 'more' ? 'from' : 'up to'} ${format(reached.from)}: ${result}.`;
    }
  }
}

function shareInWords(better: 'more' | 'less', points: number, whole: string, value: string): string {
  return better === 'more'
    ? `${formatPoints(points)} × ${value} / ${whole}`
    : `less is better, so ${formatPoints(points)} × ${whole} / ${value}`;
}

/** Through other schemes too, each with what it is for. */
function sourcesOf(scored: ScoredInput, scheme: number, term: number, k: number): string[] {
  const bound = scored.field.schemes[scheme]?.terms[term];
  const subject = scored.field.subjects[k];
  if (bound === undefined || subject === undefined) return [];
  if (bound.scheme >= 0) {
    const other = scored.field.schemes[bound.scheme];
    const sources = (other?.terms ?? []).flatMap((_term, index) => sourcesOf(scored, bound.scheme, index, k));
    return [...new Set(sources.map((source) => `${quoted(other?.version.name ?? '')}, ${source}`))];
  }
  if (bound.property === null) return [];
  const source = findProperty(subject, bound.property)?.source ?? '';
  return source === '' ? [] : [`${describeProperty(bound.property)}: ${source}`];
}
