import { competitionPlaces } from '../comparison/rank-with-ties.ts';
import { compareText } from './bind-schemes.ts';
import { fieldCautions, rowCautions } from './standings-cautions.ts';
import { whyMissing, whyNotRanked } from './missing-reasons.ts';
import { mainScheme, roundTotal, scoreInput, type ScoredInput } from './score-input.ts';
import { finalPoints, LEFT_OUT, SCORED } from './score-terms.ts';
import type { Cell, NotRanked, Standings, StandingsInput, StandingsRow } from './standings-model.ts';

/**
 * Standings from nothing but what goes into them; the order of subjects and trials does not matter.
 *
 * Errors: RangeError for an input without a scheme.
 */
export function computeStandings(input: StandingsInput): Standings {
  return standingsOf(scoreInput(input));
}

export function standingsOf(scored: ScoredInput): Standings {
  const { field, input } = scored;
  const { scheme, columns } = mainScheme(scored);
  const own = field.schemes.length - 1;
  const rows: Omit<StandingsRow, 'place'>[] = [];
  const notRanked: NotRanked[] = [];
  for (const [k, { contender, toolClass }] of field.subjects.entries()) {
    const isRanked = columns.isRanked[k] === 1;
    const cells = scheme.terms.map((_bound, term) => cellOf(scored, own, term, k, isRanked));
    if (isRanked) {
      const total = roundTotal(columns.totals[k] ?? Number.NaN);
      rows.push({ contender, toolClass, total, cells, cautions: rowCautions(scored, own, k) });
    } else {
      notRanked.push({ contender, toolClass, because: whyNotRanked(scored, own, k), cells });
    }
  }
  const places = competitionPlaces(
    rows.map(({ total }) => total),
    'more',
  );
  return {
    table: input.table,
    scheme: scheme.version,
    rows: rows
      .map((row, index) => ({ ...row, place: places[index] ?? rows.length }))
      .sort((a, b) => a.place - b.place || byLabel(a, b)),
    notRanked: notRanked.sort(byLabel),
    cautions: fieldCautions(scored),
  };
}

/** Of a contender that is not ranked a cell has its value and no points. */
function cellOf(scored: ScoredInput, scheme: number, termIndex: number, k: number, isRanked: boolean): Cell {
  const bound = scored.field.schemes[scheme]?.terms[termIndex];
  const subject = scored.field.subjects[k];
  const columns = scored.columns[scheme];
  if (bound === undefined || subject === undefined || columns === undefined) {
    throw new RangeError('There is no such cell.');
  }
  const { term, measure } = bound;
  const value = columns.values[termIndex]?.[k] ?? Number.NaN;
  const raw = columns.rawPoints[termIndex]?.[k] ?? Number.NaN;
  const part = columns.parts[termIndex]?.[k] ?? LEFT_OUT;
  const points = part === SCORED ? finalPoints(raw, term.factor, term.cap) : part === LEFT_OUT ? null : 0;
  return {
    termId: term.id,
    value: Number.isNaN(value) ? null : value,
    count: measure < 0 ? 0 : scored.trialsOf(measure, subject.contender.key).counted.length,
    points: isRanked ? points : null,
    missing: part === SCORED ? null : whyMissing(scored, scheme, termIndex, k),
    isCapped: isRanked && part === SCORED && term.cap !== null && raw * term.factor > term.cap,
  };
}

function byLabel(a: Pick<StandingsRow, 'contender'>, b: Pick<StandingsRow, 'contender'>): number {
  return compareText(a.contender.label, b.contender.label) || compareText(a.contender.key, b.contender.key);
}
