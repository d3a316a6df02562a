import { cellReasons } from './cell-changes.ts';
import { compareText } from './bind-schemes.ts';
import { schemeChanges } from './scheme-changes.ts';
import { scoreInput, type ScoredInput } from './score-input.ts';
import type {
  Cell,
  NotRanked,
  Standings,
  StandingsChange,
  StandingsInput,
  StandingsRow,
} from './standings-model.ts';
import { listInWords, quoted } from './term-words.ts';
import { rateChanges } from './value-changes.ts';

export interface StandingsState {
  readonly input: StandingsInput;
  readonly standings: Standings;
}

type AnyRow = StandingsRow | NotRanked;

/**
 * What is other in `to` than in `from`, and why: the contenders whose place, total or cells changed, each cell with its
 * reasons, and sentences of what concerns the whole table. Nobody's change is told twice: where only the place moved, it
 * is said who went past.
 */
export function diffStandings(
  from: StandingsState,
  to: StandingsState,
): { changes: StandingsChange[]; sentences: string[] } {
  const before = rowsByKey(from.standings);
  const after = rowsByKey(to.standings);
  const [was, is] = [scoreInput(from.input), scoreInput(to.input)];
  const changes = [...new Set([...after.keys(), ...before.keys()])].flatMap((key) => {
    const [earlier, now] = [before.get(key), after.get(key)];
    const row = now ?? earlier;
    if (row === undefined) return [];
    const cells = cellChanges(from, to, { was, is, earlier, now }, key);
    const [fromPlace, toPlace] = [placeOf(earlier), placeOf(now)];
    const [fromTotal, toTotal] = [totalOf(earlier), totalOf(now)];
    if (cells.length === 0 && fromPlace === toPlace && fromTotal === toTotal) return [];
    const because = cells.length > 0 ? [] : rowReasons(from, to, key);
    return [{ key, label: row.contender.label, fromPlace, toPlace, fromTotal, toTotal, cells, because }];
  });
  const last = Number.MAX_SAFE_INTEGER;
  changes.sort((a, b) => (a.toPlace ?? last) - (b.toPlace ?? last) || compareText(a.label, b.label));
  return { changes, sentences: tableSentences(from, to) };
}

function cellChanges(
  from: StandingsState,
  to: StandingsState,
  {
    was,
    is,
    earlier,
    now,
  }: {
    readonly was: ScoredInput;
    readonly is: ScoredInput;
    readonly earlier: AnyRow | undefined;
    readonly now: AnyRow | undefined;
  },
  key: string,
): StandingsChange['cells'] {
  const terms = new Map(
    [...to.standings.scheme.terms, ...from.standings.scheme.terms]
      .toReversed()
      .map(({ id, label }) => [id, label]),
  );
  const order = [
    ...new Set([...to.standings.scheme.terms, ...from.standings.scheme.terms].map(({ id }) => id)),
  ];
  const isSameScheme = from.standings.scheme.schemeId === to.standings.scheme.schemeId;
  return order.flatMap((termId) => {
    const [before, after] = [cellOf(earlier, termId), cellOf(now, termId)];
    if (isSameCell(before, after)) return [];
    const because = isSameScheme
      ? cellReasons(was, is, { schemeId: to.standings.scheme.schemeId, termId, key })
      : ['The table follows another scheme.'];
    return [
      {
        termId,
        label: terms.get(termId) ?? termId,
        fromPoints: before?.points ?? null,
        toPoints: after?.points ?? null,
        because,
      },
    ];
  });
}

/** Why a place or a total is another although no own cell is. */
function rowReasons(from: StandingsState, to: StandingsState, key: string): string[] {
  const reasons: string[] = [];
  const [normalised, isNormalised] = [from.standings.scheme.isNormalised, to.standings.scheme.isNormalised];
  if (normalised !== isNormalised) {
    reasons.push(
      isNormalised
        ? 'Totals are divided by the sum of the factors now.'
        : 'Totals are not divided by the sum of the factors any more.',
    );
  } else if (isNormalised && factorsOf(from) !== factorsOf(to)) {
    reasons.push('The sum of the factors, by which totals are divided, is another.');
  }
  const before = new Map(from.standings.rows.map((row) => [row.contender.key, row]));
  const after = new Map(to.standings.rows.map((row) => [row.contender.key, row]));
  const [own, ownNow] = [before.get(key), after.get(key)];
  if (own === undefined || ownNow === undefined) {
    const notRanked = to.standings.notRanked.find(({ contender }) => contender.key === key);
    if (notRanked !== undefined) reasons.push(`It is not ranked: ${notRanked.because.join(' ')}`);
    return reasons;
  }
  if (own.place === ownNow.place) return reasons;
  const groups: Record<'ahead' | 'behind' | 'came' | 'left' | 'level', string[]> = {
    ahead: [],
    behind: [],
    came: [],
    left: [],
    level: [],
  };
  for (const other of to.standings.rows) {
    const { key: otherKey, label } = other.contender;
    if (otherKey === key) continue;
    const earlier = before.get(otherKey);
    const isAhead = other.place < ownNow.place;
    if (earlier === undefined) {
      if (isAhead) groups.came.push(label);
    } else if (isAhead && earlier.place >= own.place) groups.ahead.push(label);
    else if (!isAhead && earlier.place < own.place) {
      groups[other.place === ownNow.place ? 'level' : 'behind'].push(label);
    }
  }
  for (const other of from.standings.rows) {
    if (other.place < own.place && !after.has(other.contender.key)) groups.left.push(other.contender.label);
  }
  if (groups.ahead.length > 0) reasons.push(`${listInWords(groups.ahead)} went past it.`);
  if (groups.behind.length > 0) reasons.push(`${listInWords(groups.behind)} fell behind it.`);
  if (groups.level.length > 0) reasons.push(`${listInWords(groups.level)} shares the place with it now.`);
  if (groups.came.length > 0) reasons.push(`${listInWords(groups.came)} came in above it.`);
  if (groups.left.length > 0) {
    reasons.push(
      `${listInWords(groups.left)}, once above it, ${groups.left.length === 1 ? 'is' : 'are'} not ranked any more.`,
    );
  }
  return reasons;
}

/** What concerns everything. */
function tableSentences(from: StandingsState, to: StandingsState): string[] {
  const sentences: string[] = [];
  const [was, is] = [from.input.table, to.input.table];
  const [scheme, nextScheme] = [from.standings.scheme, to.standings.scheme];
  if (scheme.schemeId !== nextScheme.schemeId) {
    sentences.push(`The table follows ${quoted(nextScheme.name)} now, before ${quoted(scheme.name)}.`);
  }
  for (const after of to.input.schemes) {
    const before = from.input.schemes.find(({ schemeId }) => schemeId === after.schemeId);
    if (before === undefined || before.version === after.version) continue;
    sentences.push(
      `The scheme ${quoted(after.name)} has version ${after.version} now, before ${before.version}.`,
    );
    sentences.push(...schemeChanges(before, after));
  }
  if (was.gate !== is.gate)
    sentences.push(`Other trials count: ${gateWords[is.gate]}, before ${gateWords[was.gate]}.`);
  if (was.currency !== is.currency)
    sentences.push(`Prices are given in ${is.currency} now, before in ${was.currency}.`);
  const takesIn = ({ toolClasses, driveSizes, supplies }: typeof was): string =>
    JSON.stringify([toolClasses, driveSizes, supplies]);
  if ((was.benches ?? 'one') !== (is.benches ?? 'one')) {
    sentences.push(
      is.benches === 'several'
        ? 'The table takes several benches side by side now.'
        : 'The table takes the trials of one bench only now.',
    );
  }
  if (takesIn(was) !== takesIn(is)) {
    sentences.push('The table takes in other classes, drive sizes or supplies.');
  }
  sentences.push(...rateChanges(from.input, to.input).map(({ sentence }) => sentence));
  for (const after of to.input.calibrations) {
    const before = from.input.calibrations.find(({ calibrationId }) => calibrationId === after.calibrationId);
    if (before !== undefined && before.uncertainty !== after.uncertainty) {
      sentences.push(
        `The uncertainty of ${after.label} is another: no place moves by it, but the ranges of places do.`,
      );
    }
  }
  const names = (one: StandingsState, other: StandingsState): string[] => {
    const known = new Set(other.input.subjects.map(({ contender }) => contender.key));
    return one.input.subjects
      .filter(({ contender }) => !known.has(contender.key))
      .map(({ contender }) => contender.label);
  };
  const [came, left] = [names(to, from), names(from, to)];
  if (came.length > 0) sentences.push(`New in the table: ${listInWords(came)}.`);
  if (left.length > 0) sentences.push(`Not in the table any more: ${listInWords(left)}.`);
  return sentences;
}

const gateWords: Readonly<Record<StandingsInput['table']['gate'], string>> = {
  goodOnly: 'good ones only',
  goodAndLook: 'good ones and those to be looked at',
  allKept: 'all that were kept',
};

function factorsOf({ standings }: StandingsState): number {
  return standings.scheme.terms.reduce((sum, { factor }) => sum + factor, 0);
}

function rowsByKey({ rows, notRanked }: Standings): Map<string, AnyRow> {
  return new Map([...rows, ...notRanked].map((row): [string, AnyRow] => [row.contender.key, row]));
}

function placeOf(row: AnyRow | undefined): number | null {
  return row !== undefined && 'place' in row ? row.place : null;
}

function totalOf(row: AnyRow | undefined): number | null {
  return row !== undefined && 'total' in row ? row.total : null;
}

function cellOf(row: AnyRow | undefined, termId: string): Cell | undefined {
  return row?.cells.find((cell) => cell.termId === termId);
}

function isSameCell(before: Cell | undefined, after: Cell | undefined): boolean {
  if (before === undefined || after === undefined) return before === after;
  return (
    before.value === after.value &&
    before.count === after.count &&
    before.points === after.points &&
    before.missing === after.missing &&
    before.isCapped === after.isCapped
  );
}
