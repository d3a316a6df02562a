import { whyMissing, whyNotRanked } from './missing-reasons.ts';
import { measureKeyOf } from './measure-keys.ts';
import { schemeChanges, termChanges } from './scheme-changes.ts';
import type { Term } from './scheme-model.ts';
import type { ScoredInput } from './score-input.ts';
import { bestValue, referenceValue } from './score-terms.ts';
import { formatTermValue, listInWords, pointsInWords, quoted } from './term-words.ts';
import { propertyReasons, trialReasons } from './value-changes.ts';

/** One term of one scheme on one side, found by the identities of both. */
interface Place {
  readonly scored: ScoredInput;
  readonly scheme: number;
  readonly term: number;
}

export interface CellPlace {
  readonly schemeId: string;
  readonly termId: string;
  readonly key: string;
}

/** Why a cell is other in `to` than in `from`, from what both were computed from. Never empty for one that is. */
export function cellReasons(from: ScoredInput, to: ScoredInput, place: CellPlace): string[] {
  const reasons = [
    ...definitionReasons(from, to, place),
    ...valueReasons(from, to, place),
    ...pointReasons(from, to, place),
    ...rankReasons(from, to, place),
  ];
  return [...new Set(reasons)];
}

function find(scored: ScoredInput, { schemeId, termId }: CellPlace): Place | null {
  const scheme = scored.field.schemes.findIndex(({ version }) => version.schemeId === schemeId);
  const term = scored.field.schemes[scheme]?.terms.findIndex((bound) => bound.term.id === termId) ?? -1;
  return term < 0 ? null : { scored, scheme, term };
}

function boundOf({ scored, scheme, term }: Place) {
  return scored.field.schemes[scheme]?.terms[term];
}

function indexOf({ field }: ScoredInput, key: string): number {
  return field.subjects.findIndex(({ contender }) => contender.key === key);
}

function definitionReasons(from: ScoredInput, to: ScoredInput, place: CellPlace): string[] {
  const before = find(from, place);
  const after = find(to, place);
  if (before === null) return ['The scheme has this term now; it had not.'];
  if (after === null) return ['The scheme does not have this term any more.'];
  if (indexOf(from, place.key) < 0) return ['It came into the table.'];
  if (indexOf(to, place.key) < 0) return ['It is not in the table any more.'];
  const [was, is] = [boundOf(before)?.term, boundOf(after)?.term];
  if (was === undefined || is === undefined) return [];
  const [version, next] = [before, after].map(({ scored, scheme }) => scored.field.schemes[scheme]?.version);
  // Nobody edited it: of one version a merge of tools alone makes the reference another, and the reasons name who is it.
  const changes = termChanges(was, version?.version === next?.version ? withReferenceOf(was, is) : is);
  return changes.length === 0 ? [] : [`The scheme changed: ${listInWords(changes)}.`];
}

function withReferenceOf(before: Term, after: Term): Term {
  if (before.how.way !== 'shareOfReference' || after.how.way !== 'shareOfReference') return after;
  return { ...after, how: { ...after.how, reference: before.how.reference } };
}

/** Why the value itself is another one, or is there or missing. */
function valueReasons(from: ScoredInput, to: ScoredInput, place: CellPlace): string[] {
  const before = find(from, place);
  const after = find(to, place);
  if (before === null || after === null) return [];
  const [k, l] = [indexOf(from, place.key), indexOf(to, place.key)];
  if (k < 0 || l < 0) return [];
  const [was, is] = [boundOf(before), boundOf(after)];
  if (was === undefined || is === undefined) return [];
  const measureKey = measureKeyOf(is.term.measure);
  const reasons: string[] = [];
  if (measureKey !== null && measureKey === measureKeyOf(was.term.measure)) {
    const isSame = isSameValue(from.base.measures[was.measure]?.[k], to.base.measures[is.measure]?.[l]);
    const isSameCount =
      from.trialsOf(was.measure, place.key).counted.length ===
      to.trialsOf(is.measure, place.key).counted.length;
    const isSameReason =
      whyMissing(from, before.scheme, before.term, k) === whyMissing(to, after.scheme, after.term, l);
    if (!isSame || !isSameCount || !isSameReason)
      reasons.push(...trialReasons(from, to, measureKey, place.key));
  }
  if (is.property !== null && is.property === was.property) {
    reasons.push(...propertyReasons(from, to, is.property, place.key));
  }
  if (
    is.term.measure.of === 'scheme' &&
    was.term.measure.of === 'scheme' &&
    is.scheme >= 0 &&
    was.scheme >= 0
  ) {
    reasons.push(...otherSchemeReasons(from, to, { was: was.scheme, is: is.scheme }, place.key));
  }
  return reasons;
}

/** Of a total of another scheme: what changed in it, cell by cell. */
function otherSchemeReasons(
  from: ScoredInput,
  to: ScoredInput,
  { was, is }: { readonly was: number; readonly is: number },
  key: string,
): string[] {
  const before = from.field.schemes[was]?.version;
  const after = to.field.schemes[is]?.version;
  if (before === undefined || after === undefined || before.schemeId !== after.schemeId) return [];
  const [total, next] = [
    from.columns[was]?.totals[indexOf(from, key)],
    to.columns[is]?.totals[indexOf(to, key)],
  ];
  if (isSameValue(total, next)) return [];
  const inner = after.terms.flatMap(({ id, label }) => {
    const place = { schemeId: after.schemeId, termId: id, key };
    return hasMoved(from, to, place)
      ? cellReasons(from, to, place).map((reason) => `${label}: ${reason}`)
      : [];
  });
  const words = (value: number | undefined): string =>
    value === undefined || Number.isNaN(value) ? 'no total' : pointsInWords(value);
  return [
    `Its total of ${quoted(after.name)} is ${words(next)}, was ${words(total)}.`,
    ...(before.version === after.version ? [] : schemeChanges(before, after)),
    ...inner,
  ].map((reason, index) => (index === 0 ? reason : `In ${quoted(after.name)}, ${reason}`));
}

function hasMoved(from: ScoredInput, to: ScoredInput, place: CellPlace): boolean {
  const before = find(from, place);
  const after = find(to, place);
  if (before === null || after === null) return before !== after;
  const [k, l] = [indexOf(from, place.key), indexOf(to, place.key)];
  const [was, is] = [from.columns[before.scheme], to.columns[after.scheme]];
  return (
    !isSameValue(was?.values[before.term]?.[k], is?.values[after.term]?.[l]) ||
    !isSameValue(was?.rawPoints[before.term]?.[k], is?.rawPoints[after.term]?.[l])
  );
}

/** Why the same value brings other points: the best or the reference is another. */
function pointReasons(from: ScoredInput, to: ScoredInput, place: CellPlace): string[] {
  const before = find(from, place);
  const after = find(to, place);
  if (before === null || after === null) return [];
  const [was, is] = [boundOf(before), boundOf(after)];
  if (was === undefined || is === undefined || was.term.how.way !== is.term.how.way) return [];
  const reasons: string[] = [];
  if (is.term.how.way === 'shareOfBest') {
    const [earlier, now] = [bestOf(before), bestOf(after)];
    if (!isSameValue(earlier.value, now.value)) {
      reasons.push(`The best is ${bestInWords(after, now)}, was ${bestInWords(before, earlier)}.`);
      const moved = [...new Set([...earlier.keys, ...now.keys])].filter((key) => key !== place.key);
      reasons.push(...reasonsOfOthers(from, to, place, moved));
    }
  } else if (is.term.how.way === 'shareOfReference') {
    const [earlier, now] = [referenceOf(before), referenceOf(after)];
    if (!isSameValue(earlier, now)) {
      const format = (value: number): string =>
        Number.isNaN(value) ? 'nothing' : formatTermValue(is.term.measure, value, to.input.table.currency);
      reasons.push(`The reference has ${format(now)}, had ${format(earlier)}.`);
      const { reference } = is.term.how;
      if (reference.is === 'contender' && reference.key !== place.key) {
        reasons.push(...reasonsOfOthers(from, to, place, [reference.key]));
      }
    }
  }
  return reasons;
}

function reasonsOfOthers(
  from: ScoredInput,
  to: ScoredInput,
  place: CellPlace,
  keys: readonly string[],
): string[] {
  return keys.flatMap((key) => {
    const label =
      [to, from].flatMap(({ field }) => field.subjects).find(({ contender }) => contender.key === key)
        ?.contender.label ?? key;
    const other = { ...place, key };
    if (indexOf(from, key) < 0) return [`${label} came into the table.`];
    if (indexOf(to, key) < 0) return [`${label} is not in the table any more.`];
    return [...valueReasons(from, to, other), ...rankReasons(from, to, other)].map(
      (reason) => `${label}: ${reason}`,
    );
  });
}

function bestOf({ scored, scheme, term }: Place): { value: number; keys: string[] } {
  const bound = scored.field.schemes[scheme]?.terms[term];
  const columns = scored.columns[scheme];
  const values = columns?.values[term];
  if (bound === undefined || columns === undefined || values === undefined)
    return { value: Number.NaN, keys: [] };
  const value = bestValue(bound.term.better, values, columns.competes);
  const keys = scored.field.subjects.flatMap(({ contender }, k) =>
    values[k] === value && columns.isRanked[k] === 1 ? [contender.key] : [],
  );
  return { value, keys };
}

function bestInWords(
  { scored, scheme, term }: Place,
  { value, keys }: { value: number; keys: string[] },
): string {
  const measure = scored.field.schemes[scheme]?.terms[term]?.term.measure;
  if (Number.isNaN(value) || measure === undefined) return 'nobody';
  const labels = scored.field.subjects
    .filter(({ contender }) => keys.includes(contender.key))
    .map(({ contender }) => contender.label);
  return `${listInWords(labels)} with ${formatTermValue(measure, value, scored.input.table.currency)}`;
}

function referenceOf(place: Place): number {
  const bound = boundOf(place);
  const values = place.scored.columns[place.scheme]?.values[place.term];
  return bound === undefined || values === undefined ? Number.NaN : referenceValue(bound, values);
}

/** Points come and go with being ranked, whatever the cell's own value. */
function rankReasons(from: ScoredInput, to: ScoredInput, { schemeId, key }: CellPlace): string[] {
  const [s, t] = [from, to].map(({ field }) =>
    field.schemes.findIndex(({ version }) => version.schemeId === schemeId),
  );
  const [k, l] = [indexOf(from, key), indexOf(to, key)];
  const was = from.columns[s ?? -1]?.isRanked[k];
  const is = to.columns[t ?? -1]?.isRanked[l];
  if (was === undefined || is === undefined || was === is) return [];
  return is === 1
    ? [`It is ranked now; it was not: ${whyNotRanked(from, s ?? -1, k).join(' ')}`]
    : [`It is not ranked any more: ${whyNotRanked(to, t ?? -1, l).join(' ')}`];
}

function isSameValue(a: number | undefined, b: number | undefined): boolean {
  return a === b || (Number.isNaN(a ?? Number.NaN) && Number.isNaN(b ?? Number.NaN));
}
