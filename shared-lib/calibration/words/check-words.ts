import type { CheckMeans, DailyCheck } from '../daily-check-model.ts';
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
