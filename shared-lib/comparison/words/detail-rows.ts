import type { Comparison } from '../comparison-model.ts';
import { formatNumber, THIN_SPACE } from '../../format-quantity.ts';
import { confidenceWords, ratioWords, type SideNames } from './compare-sentences.ts';

export interface DetailRow {
  readonly name: string;
  readonly value: string;
  readonly note: string | null;
}

/** What the verdict rests on, for who wants to check it. A figure that there is too little for says so. */
export function detailRows(comparison: Comparison, names: SideNames): DetailRow[] {
  const { scatter, dayToDay, roundsToDecide, levelInterval, confidence } = comparison;
  const { standardErrorLn, degreesOfFreedom, effectSize, permutationP, a, b } = comparison;
  const row = (name: string, value: string, note: string | null = null): DetailRow => ({ name, value, note });
  return [
    row('Scatter of one pull', lnPercent(scatter.standardDeviation), scatter.sentence),
    row(`Scatter of ${names.a}`, lnPercent(a.scatter), null),
    row(`Scatter of ${names.b}`, lnPercent(b.scatter), null),
    row(
      'Standard error of the difference',
      lnPercent(standardErrorLn),
      degreesOfFreedom === null ? null : `${formatNumber(degreesOfFreedom, 1)} degrees of freedom`,
    ),
    ...(levelInterval === null
      ? []
      : [
          row(
            `${confidenceWords(confidence === 0.95 ? 0.9 : 0.95)} interval, for “level”`,
            ratioWords(levelInterval),
            'Two one-sided tests: it has to lie inside the margin.',
          ),
        ]),
    ...(scatter.roundEffect === null ? [] : [roundRow(scatter.roundEffect)]),
    row(
      'Day to day',
      lnPercent(dayToDay?.standardDeviation ?? null),
      dayToDay?.sentence ?? 'Within one session it does not matter.',
    ),
    row(
      'Effect size, Hedges’ g',
      effectSize === null ? '–' : formatNumber(effectSize, 2),
      effectSize === null ? 'With five runs each or more.' : null,
    ),
    row(
      'Permutation test',
      permutationP === null ? '–' : `p${THIN_SPACE}=${THIN_SPACE}${formatNumber(permutationP, 3)}`,
      permutationP === null
        ? 'With four runs each or more, and not across sessions or calibrations.'
        : 'Two-sided, of the difference of the means.',
    ),
    ...(roundsToDecide === null
      ? []
      : [
          row(
            'Rounds that would decide',
            roundsToDecide.rounds === null ? 'more than can be planned' : String(roundsToDecide.rounds),
            roundsToDecide.sentence,
          ),
        ]),
  ];
}

function roundRow({
  standardDeviation,
  f,
  p,
  isClear,
}: NonNullable<Comparison['scatter']['roundEffect']>): DetailRow {
  return {
    name: 'From round to round',
    value: lnPercent(standardDeviation),
    note: `F${THIN_SPACE}=${THIN_SPACE}${formatNumber(f, 2)}, p${THIN_SPACE}=${THIN_SPACE}${formatNumber(p, 3)}: rounds ${isClear ? 'differ, and the comparison takes that out' : 'do not differ clearly'}.`,
  };
}

/** A standard deviation of ln(measure) as percent, which it is for small ones. */
function lnPercent(standardDeviation: number | null): string {
  return standardDeviation === null ? '–' : `${formatNumber(standardDeviation * 100, 2)}${THIN_SPACE}%`;
}
