import { betterOf, isTime, whyNotMeasured } from '../comparison/measure-words.ts';
import { newestVersion } from './bind-schemes.ts';
import { checkPointsOf } from './check-points.ts';
import type { SchemeDraft, SchemeFinding, SchemeVersion, Term, TermMeasure } from './scheme-model.ts';
import { describeProperty, listInWords, quoted } from './term-words.ts';

/** Against whom a draft is held. */
export interface SchemeContext {
  readonly contenderCount: number;
  /** How many have a value. */
  readonly hasValue: (measure: TermMeasure) => number;
  /** Whether the reference of a share is there; left out: nothing is said of it. */
  readonly findReference?: (key: string, measure: TermMeasure) => 'notInTable' | 'noValue' | 'hasValue';
}

const SEVERITIES = ['stop', 'caution', 'note'] as const;

/**
 * What speaks against a scheme, the worst first; with a `stop` among it, it is not stored. `schemeId` null: a new scheme.
 * Of `others` the newest version of each counts.
 */
export function checkScheme(
  draft: SchemeDraft,
  schemeId: string | null,
  others: readonly SchemeVersion[],
  context: SchemeContext | null,
): SchemeFinding[] {
  const findings = [
    ...checkWhole(draft, schemeId, others),
    ...draft.terms.flatMap((term) => [
      ...checkMeasure(term, schemeId, others),
      ...checkPointsOf(term, draft.isNormalised),
      ...(context === null ? [] : checkAgainst(term, context)),
    ]),
  ];
  return SEVERITIES.flatMap((severity) => findings.filter((finding) => finding.severity === severity));
}

function checkWhole(
  { name, terms, isNormalised }: SchemeDraft,
  schemeId: string | null,
  others: readonly SchemeVersion[],
): SchemeFinding[] {
  const findings: SchemeFinding[] = [];
  const add = (severity: SchemeFinding['severity'], termId: string | null, sentence: string): void => {
    findings.push({ severity, termId, sentence });
  };
  const twice = (values: readonly string[]): string[] => [
    ...new Set(values.filter((value, index) => values.indexOf(value) < index)),
  ];
  for (const id of twice(terms.map((term) => term.id))) {
    add(
      'stop',
      id,
      'Two terms have the same identity, and their cells could not be told apart. Take one out and add it anew.',
    );
  }
  for (const label of twice(terms.map((term) => term.label))) {
    add(
      'caution',
      null,
      `Two terms are called ${quoted(label)}, and nobody can tell their columns apart. Name one of them otherwise.`,
    );
  }
  const measures = terms.map(({ measure }) => JSON.stringify(measure));
  for (const measure of twice(measures)) {
    const labels = terms
      .filter((_term, index) => measures[index] === measure)
      .map(({ label }) => quoted(label));
    add(
      'note',
      null,
      `${listInWords(labels)} score the same figure, which counts as often as it stands here.`,
    );
  }
  const newest = [...new Set(others.map((other) => other.schemeId))].flatMap(
    (id) => newestVersion(others, id) ?? [],
  );
  const folded = name.trim().toLowerCase();
  if (newest.some((other) => other.schemeId !== schemeId && other.name.trim().toLowerCase() === folded)) {
    add(
      'caution',
      null,
      `Another scheme is called ${quoted(name)} too. Name this one otherwise, so that a table says which one it follows.`,
    );
  }
  const sum = terms.reduce((total, { factor }) => total + factor, 0);
  const size = terms.reduce((total, { factor }) => total + Math.abs(factor), 0);
  if (size === 0) {
    add(
      'stop',
      null,
      'All factors are zero: everybody would have zero points and share the first place. Give at least one term a factor.',
    );
  } else if (isNormalised && sum <= 1e-12 * size) {
    add(
      'stop',
      null,
      Math.abs(sum) <= 1e-12 * size
        ? 'The factors sum to zero, and a total cannot be divided by zero. Change a factor, or do not divide by their sum.'
        : 'The factors sum to less than zero, and dividing by that would turn the order upside down. Turn the factors, or do not divide by their sum.',
    );
  } else if (isNormalised && terms.some(({ factor }) => factor < 0)) {
    add(
      'caution',
      null,
      'A factor is below zero, so what the totals are divided by is not what the terms weigh together, and could be zero for a contender for whom a term is left out; that one is not ranked then. Use “less is better” instead of a factor below zero.',
    );
  }
  return findings;
}

function checkMeasure(
  term: Term,
  schemeId: string | null,
  others: readonly SchemeVersion[],
): SchemeFinding[] {
  const { measure, better, id, label } = term;
  const findings: SchemeFinding[] = [];
  const add = (severity: SchemeFinding['severity'], sentence: string): void => {
    findings.push({ severity, termId: id, sentence: `${label}: ${sentence}` });
  };
  if (measure.of === 'trial' || measure.of === 'ratio') {
    const reason = whyNotMeasured(measure.step, measure.measure);
    if (reason !== null)
      add('stop', `${reason} No trial could ever have this figure. Choose another figure or step.`);
  }
  switch (measure.of) {
    case 'trial':
      if (better !== betterOf(measure.measure)) {
        add(
          'caution',
          isTime(measure.measure)
            ? 'more is better here, so the slower tool gets more points.'
            : 'less is better here, so the weaker tool gets more points.',
        );
      }
      break;
    case 'tool':
      if (better === 'more' && isBetterLess(measure.property)) {
        add(
          'caution',
          `more is better here, so a higher ${describeProperty(measure.property)} gets more points.`,
        );
      } else if (better === 'less' && measure.property === 'handling') {
        add('caution', 'less is better here, so the tool that handles worse gets more points.');
      }
      if (measure.property === 'handling') {
        add('note', 'handling is a judgement. It is shown as one, and a single rater gives it no interval.');
      } else if (measure.property === 'fasteningClaim' || measure.property === 'breakawayClaim') {
        add(
          'caution',
          'a claim is what a maker states, not what was measured. A share of the claim says how far it is reached.',
        );
      }
      break;
    case 'ratio':
      checkRatio(measure, add);
      if (better === 'less')
        add('caution', 'less is better here, so less torque for the same gets more points.');
      break;
    case 'scheme': {
      const found = findCircle(measure.schemeId, schemeId, others, []);
      if (newestVersion(others, measure.schemeId) === null && measure.schemeId !== schemeId) {
        add('stop', 'the scheme that it takes the total of is not known here. Choose another one.');
      } else if (found !== null) {
        const names = found.map((other) => quoted(newestVersion(others, other)?.name ?? 'this scheme'));
        add(
          'stop',
          `it refers to itself in a circle${names.length > 1 ? `, through ${listInWords(names)}` : ''}, so its total would never be known. Take one of them out.`,
        );
      }
      if (better === 'less')
        add('caution', 'less is better here, so whoever does worse in the other scheme gets more points.');
      break;
    }
  }
  return findings;
}

function checkRatio(
  { measure, per, step }: TermMeasure & { of: 'ratio' },
  add: (severity: SchemeFinding['severity'], sentence: string) => void,
): void {
  if (isTime(measure)) {
    add(
      'stop',
      `only a torque is taken per ${describeProperty(per)}; a time is no torque. Score the time by a term of its own.`,
    );
    return;
  }
  if (per === 'declaredNoise') {
    add(
      'stop',
      'decibels are a logarithm: dividing by them says nothing. Score the noise by a term of its own.',
    );
  } else if (per === 'handling') {
    add(
      'caution',
      'this divides a measurement by a judgement, and less handling makes it better. Score handling by a term of its own.',
    );
  } else if (per === 'fasteningClaim' && !(measure.figure === 'sustainedTorque' && step.kind === 'tighten')) {
    add('stop', 'a fastening claim compares with the sustained torque of kind tighten only.');
  } else if (per === 'breakawayClaim' && measure.figure !== 'releasedPreload') {
    add('stop', 'a breakaway claim compares with the released preload of a breakaway only.');
  }
}

function isBetterLess(property: (TermMeasure & { of: 'tool' })['property']): boolean {
  return property !== 'handling' && property !== 'fasteningClaim' && property !== 'breakawayClaim';
}

/** The schemes on the way from one back to itself or to `schemeId`; null: there is no such way. */
function findCircle(
  from: string,
  schemeId: string | null,
  others: readonly SchemeVersion[],
  onTheWay: readonly string[],
): string[] | null {
  if (from === schemeId || onTheWay.includes(from)) return [...onTheWay];
  const path = [...onTheWay, from];
  for (const { measure } of newestVersion(others, from)?.terms ?? []) {
    if (measure.of !== 'scheme') continue;
    const found = findCircle(measure.schemeId, schemeId, others, path);
    if (found !== null) return found;
  }
  return null;
}

function checkAgainst(
  term: Term,
  { contenderCount, hasValue, findReference }: SchemeContext,
): SchemeFinding[] {
  const { measure, how, missing, id, label } = term;
  const findings: SchemeFinding[] = [];
  const add = (severity: SchemeFinding['severity'], sentence: string): void => {
    findings.push({ severity, termId: id, sentence: `${label}: ${sentence}` });
  };
  const count = contenderCount === 0 ? 0 : hasValue(measure);
  if (contenderCount > 0 && count === 0) {
    const effect = {
      notRanked: 'so nobody is ranked',
      zero: 'so it counts zero for everybody and decides nothing',
      leaveOut: 'so it is left out of every total',
    }[missing];
    add('caution', `none of the ${contenderCount} contenders of the table has a value, ${effect}.`);
  } else if (count < contenderCount) {
    const lacking = contenderCount - count;
    const effect = {
      notRanked: lacking === 1 ? 'is not ranked' : 'are not ranked',
      zero: lacking === 1 ? 'gets zero points, marked as missing' : 'get zero points, marked as missing',
      leaveOut: lacking === 1 ? 'has a total without it' : 'have totals without it',
    }[missing];
    add(
      'note',
      `${lacking} of ${contenderCount} contenders ${lacking === 1 ? 'has' : 'have'} no value and ${effect}.`,
    );
  }
  if (how.way === 'shareOfReference' && how.reference.is === 'contender' && findReference !== undefined) {
    const found = findReference(how.reference.key, measure);
    if (found === 'notInTable') {
      add(
        'caution',
        'the reference that its share is taken of is not in the table, so nobody has points for it. Choose one that is, or give a fixed value.',
      );
    } else if (found === 'noValue') {
      add(
        'caution',
        'the reference that its share is taken of has no value, so nobody has points for it. Choose another one, or give a fixed value.',
      );
    }
  }
  return findings;
}
