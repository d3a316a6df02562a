import { whyDaysTellTooLittle } from './few-days.ts';
import { parseTrialMeasureKey } from './measure-keys.ts';
import { countUnasked, MEASURED_BY_COMPARISON, whyMissing } from './missing-reasons.ts';
import { schemeNameOf, type ScoredInput } from './score-input.ts';
import { LEFT_OUT, ZERO } from './score-terms.ts';
import type { ScoredTrial } from './standings-model.ts';
import { describeTermMeasure, listInWords, quoted } from './term-words.ts';

/** What is to be known beside a contender's place. */
export function rowCautions(scored: ScoredInput, scheme: number, k: number): string[] {
  const bound = scored.field.schemes[scheme];
  const columns = scored.columns[scheme];
  const subject = scored.field.subjects[k];
  if (bound === undefined || columns === undefined || subject === undefined) return [];
  const { key } = subject.contender;
  const cautions: string[] = [];
  for (const [index, { term, measure, scheme: other }] of bound.terms.entries()) {
    const part = columns.parts[index]?.[k];
    if (part === ZERO) {
      cautions.push(
        `${term.label} counts as zero points because it is missing, not because it was measured: ${whyMissing(scored, scheme, index, k)}`,
      );
      continue;
    }
    if (part === LEFT_OUT) {
      cautions.push(`${term.label} is left out of its total: ${whyMissing(scored, scheme, index, k)}`);
      continue;
    }
    if (other >= 0) {
      const name = quoted(scored.field.schemes[other]?.version.name ?? '');
      cautions.push(...rowCautions(scored, other, k).map((caution) => `In ${name}: ${caution}`));
    }
    if (measure < 0) continue;
    const { counted, valueless } = scored.trialsOf(measure, key);
    if (counted.length === 1) {
      cautions.push(`${term.label} rests on one trial; how it scatters is taken from the others.`);
    }
    if (valueless.length > 0) {
      cautions.push(
        `${term.label}: ${valueless.length} of its ${counted.length + valueless.length} trials that count ${valueless.length === 1 ? 'has' : 'have'} no value and ${valueless.length === 1 ? 'is' : 'are'} not in the mean.${unaskedOf(valueless, measure)}`,
      );
    }
  }
  return [...new Set(cautions)];
}

/** A sentence to go on with; empty where all of them were asked. */
function unaskedOf(valueless: readonly ScoredTrial[], measure: number): string {
  const count = countUnasked(valueless, measure);
  return count === 0
    ? ''
    : ` Of ${count} of them the time to this torque was not asked for when ${count === 1 ? 'it was' : 'they were'} measured. ${MEASURED_BY_COMPARISON}`;
}

/** What is to be known of the table as a whole. */
export function fieldCautions(scored: ScoredInput): string[] {
  const { field, input } = scored;
  const used = field.schemes.flatMap(({ terms, version }) =>
    terms.filter(({ term }) => term.factor !== 0).map((bound) => ({ ...bound, version })),
  );
  const cautions: string[] = [];
  const shares = used.filter(({ term }) => term.how.way === 'shareOfBest').map(({ term }) => term.label);
  if (shares.length > 0) {
    cautions.push(
      `${listInWords([...new Set(shares)])}: a share of the best moves for everybody when a better tool comes in or the best one leaves.`,
    );
  }
  if (used.some(({ property }) => property === 'handling')) {
    cautions.push('Handling is a judgement of those who rated it, not a measurement.');
  }
  const nameOf = schemeNameOf(scored);
  const measures = [...new Set(used.flatMap(({ measure }) => (measure < 0 ? [] : [measure])))];
  for (const measure of measures) {
    const words = describeTermMeasure(
      { of: 'trial', ...parseTrialMeasureKey(input.measures[measure] ?? '') },
      nameOf,
    );
    const why = whyDaysTellTooLittle(input.dayToDay[measure]);
    if (why !== null && isAcrossSessions(scored, measure)) {
      cautions.push(
        `${capitalised(words)}: across sessions, day-to-day scatter ${why}. Contenders of different days are not told apart by it.`,
      );
    }
    const calibrationCount = countCalibrations(scored, measure);
    if (calibrationCount > 1) {
      cautions.push(
        `${capitalised(words)}: read by ${calibrationCount} calibrations, whose scale errors do not cancel between contenders.`,
      );
    }
  }
  const main = field.schemes.at(-1);
  const columns = scored.columns.at(-1);
  if (main?.version.isNormalised === true && columns !== undefined) {
    const isUneven = field.subjects.some(
      (_subject, k) => columns.isRanked[k] === 1 && columns.parts.some((part) => part[k] === LEFT_OUT),
    );
    if (isUneven) {
      cautions.push(
        'Some totals are means over fewer terms than others: what a contender lacks is left out of its own.',
      );
    }
  } else if (columns !== undefined) {
    const isUneven = field.subjects.some(
      (_subject, k) =>
        columns.isRanked[k] === 1 && columns.parts.some((part) => part[k] === LEFT_OUT || part[k] === ZERO),
    );
    if (isUneven) {
      cautions.push(
        'Some totals are sums over fewer terms than others: what a contender lacks brings it no points.',
      );
    }
  }
  return cautions;
}

/** Those of one direction are others than those of the other. */
function countCalibrations({ field, trialsOf }: ScoredInput, measure: number): number {
  const forward = new Set<string>();
  const reverse = new Set<string>();
  for (const { contender } of field.subjects) {
    let last: ScoredTrial | null = null;
    for (const { trial } of trialsOf(measure, contender.key).counted) {
      // Mostly it is the same as before.
      if (trial.calibrationId === last?.calibrationId && trial.direction === last.direction) continue;
      (trial.direction === 'forward' ? forward : reverse).add(trial.calibrationId);
      last = trial;
    }
  }
  return forward.size + reverse.size;
}

/** Whether the contenders' trials come from sessions in different shares, so that days do not cancel between them. */
function isAcrossSessions({ field, columns, trialsOf }: ScoredInput, measure: number): boolean {
  const ranked = columns.at(-1)?.isRanked;
  const mixes = new Set<string>();
  for (const [k, { contender }] of field.subjects.entries()) {
    const { counted } = trialsOf(measure, contender.key);
    if (ranked?.[k] !== 1 || counted.length === 0) continue;
    const counts = new Map<string, number>();
    for (const { trial } of counted) counts.set(trial.sessionId, (counts.get(trial.sessionId) ?? 0) + 1);
    mixes.add(
      [...counts]
        .map(([session, count]) => `${session}:${count / counted.length}`)
        .sort()
        .join(' '),
    );
  }
  return mixes.size > 1;
}

function capitalised(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
