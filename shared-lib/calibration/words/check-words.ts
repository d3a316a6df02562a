import type { CheckMeans, DailyCheck } from '../daily-check-model.ts';
import { CHECK_RULES, NO_CHART_LIMITS } from '../judge-daily-check.ts';
import { NEW_REFERENCE_RULE, newReferenceReasonOf, REFERENCE_RULE } from '../read-check.ts';
import { formatSignificant } from '../../format-significant.ts';

export function weightsWords(weights: readonly { readonly name: string; readonly massKg: number }[]): string {
  return weights.map(({ name, massKg }) => `${name} (${formatSignificant(massKg, 'kg')})`).join(' + ');
}

/** For a row among others: names only. */
export function shortMeansWords(means: CheckMeans): string {
  if (means.kind === 'shunt') return 'Shunt';
  return `${means.weights.map(({ name }) => name).join(' + ')}, ${means.sense}`;
}

export function meansWords(means: CheckMeans): string {
  if (means.kind === 'shunt') return 'The amplifier’s shunt';
  const { sense, weights, arm, site } = means;
  return `${weightsWords(weights)} on ${arm.name} (${formatSignificant(arm.lengthM, 'm')}), ${sense}, at ${site.name}`;
}

export const verdictWords = {
  passed: 'Passed',
  failed: 'Failed',
  reference: 'Kept as the reference',
} as const satisfies Record<DailyCheck['verdict'], string>;

/** What a check was made with, and of a new reference why it was taken. */
export function checkedWithWords(check: Pick<DailyCheck, 'means' | 'verdict' | 'reasons'>): string {
  const reason = newReferenceReasonOf(check);
  return reason === null
    ? shortMeansWords(check.means)
    : `${shortMeansWords(check.means)}, new reference: ${reason}`;
}

/** The verdict in a table, where what is to be looked at beside it has no place of its own. */
export function verdictInTable(check: Pick<DailyCheck, 'verdict' | 'reasons'>): string {
  const words = verdictWords[check.verdict];
  return hasCautions(check) ? `${words}, with a caution` : words;
}

export function hasCautions({ reasons }: Pick<DailyCheck, 'reasons'>): boolean {
  return reasons.some((reason) => reasonMark(reason).shape === 'caution');
}

type Reason = DailyCheck['reasons'][number];

const judging: ReadonlySet<string> = new Set(CHECK_RULES);
const notes: ReadonlyMap<string, string> = new Map([
  [NO_CHART_LIMITS, 'Not judged'],
  [REFERENCE_RULE, 'Note'],
  [NEW_REFERENCE_RULE, 'Reason'],
]);

/** Word and shape before a reason. What no rule judges, such as a certificate out of date, is neither held nor broken. */
export function reasonMark({ rule, isBroken }: Pick<Reason, 'rule' | 'isBroken'>): {
  readonly word: string;
  readonly shape: 'fault' | 'good' | 'information' | 'caution';
} {
  if (isBroken) return { word: 'Broken', shape: 'fault' };
  if (judging.has(rule)) return { word: 'Held', shape: 'good' };
  const word = notes.get(rule);
  return word === undefined ? { word: 'Caution', shape: 'caution' } : { word, shape: 'information' };
}
