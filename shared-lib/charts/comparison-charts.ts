import type { Distributions } from '../calibration/distributions.ts';
import type { ClaimCheck, ComparedTrial, Comparison, Ratio, Side } from '../comparison/comparison-model.ts';
import { sentenceCase } from '../comparison/comparison-words.ts';
import { describeComparedStep, describeMeasure, isTime } from '../comparison/measure-words.ts';
import {
  confidenceWords,
  sideNames,
  type SideNames,
  sideWords,
  splitAnswer,
  withShortNames,
} from '../comparison/words/compare-sentences.ts';
import { formatNumber, THIN_SPACE } from '../format-quantity.ts';
import { CURVES_NOTE, type DrawnCurve } from './trial-chart.ts';
import type { CurveChart, MeansChart } from './chart-model.ts';
import { type Basis, basisNotes } from './chart-notes.ts';
import { shortLabels, withCommon } from './short-labels.ts';
import { curveColorIndex } from './tool-colour.ts';

/** As many curves as a picture takes. */
export const MOST_CURVES = 60;

type SideOf = 'a' | 'b';
type Claim = Pick<ClaimCheck, 'claimedNm' | 'kind' | 'source' | 'statedOn'> & { readonly toolName: string };

/** Trials of a side that take part, reference pulls not; the newest where there are more than a picture takes. */
export function trialsOfSide({ trials, a, b }: Comparison, side: SideOf, most: number): ComparedTrial[] {
  const { key } = (side === 'a' ? a : b).contender;
  return trials
    .filter(
      ({ contenderKey, leftOutBecause, isReference }) =>
        contenderKey === key && leftOutBecause === null && !isReference,
    )
    .slice(-most);
}

/** Every run of both from its onset on, with the difference at the instants at which it was tested. */
export function curvesOfComparison(
  comparison: Comparison,
  curvesOf: ReadonlyMap<string, DrawnCurve>,
  basis: Basis,
  claims: readonly Claim[],
): CurveChart {
  const { a, b, step, checkpoints } = comparison;
  const names = namesOf(comparison);
  const curves = (['a', 'b'] as const).flatMap((side) =>
    trialsOfSide(comparison, side, MOST_CURVES / 2).flatMap(({ trialId }) => {
      const curve = curvesOf.get(trialId);
      const colour = curveColorIndex((side === 'a' ? a : b).contender.toolName);
      return curve === undefined ? [] : [{ ...curve, label: names[side], colour }];
    }),
  );
  const all = trialsOfSide(comparison, 'a', Infinity).length + trialsOfSide(comparison, 'b', Infinity).length;
  const tested = checkpoints.filter(({ ratio }) => ratio !== null);
  const [over, under] = isBInFront(comparison) ? [names.b, names.a] : [names.a, names.b];
  return {
    kind: 'curves',
    ...headingOf(comparison),
    notes: [
      nNote(comparison),
      ...basisNotes(basis, {
        reading: [
          ...(tested.length === 0
            ? []
            : [
                `Above: torque of ${over} over ${under} with ${confidenceWords(comparison.confidence)} intervals for all instants together; filled: told apart.`,
              ]),
          ...(curves.length < all ? [`The newest ${curves.length} of ${all} runs are drawn.`] : []),
          ...claimNotes(claims),
        ],
        cautions: [...cautionsOf(comparison), CURVES_NOTE],
      }),
    ],
    curves,
    plannedS: step.plannedS,
    levels: levelsOf(comparison, claims),
    checkpoints: tested.map(({ atS, ratio, isClear }) => ({
      atS,
      isClear,
      text: ratio === null ? '' : ratioWithHalf(isBInFront(comparison) ? turnedRound(ratio) : ratio),
    })),
  };
}

/** The mean of each side with its interval, and every run. */
export function meansOfComparison(
  comparison: Comparison,
  basis: Basis,
  claims: readonly Claim[],
  distributions: Distributions,
): MeansChart {
  const { a, b, measure } = comparison;
  const names = namesOf(comparison);
  const rows = (['a', 'b'] as const).flatMap((side): MeansChart['rows'] => {
    const figures = side === 'a' ? a : b;
    const runs = trialsOfSide(comparison, side, Infinity).flatMap(({ value }) => value ?? []);
    const mean = figures.mean ?? geometricMean(runs);
    if (mean === null) return [];
    return [
      {
        label: names[side],
        colour: curveColorIndex(figures.contender.toolName),
        mean,
        ...intervalOf(mean, figures, comparison, distributions),
        runs,
      },
    ];
  });
  const hasInterval = rows.some(({ low }) => low !== null);
  const isTorque = !isTime(measure);
  return {
    kind: 'means',
    ...headingOf(comparison),
    notes: [
      nNote(comparison),
      ...basisNotes(basis, {
        reading: [
          ...(hasInterval
            ? [
                `Bars: 95${THIN_SPACE}% interval of each mean, from the scatter that the comparison uses${comparison.isAcrossSessions ? '; what a day adds is not in them' : ''}.`,
              ]
            : []),
          ...claimNotes(claims),
        ],
        cautions: cautionsOf(comparison),
      }),
    ],
    quantity: isTorque ? 'torque' : 'time',
    quantityWords: describeMeasure(measure),
    rows,
    levels: isTorque
      ? claims.map(({ claimedNm, toolName }) => ({ value: claimedNm, label: `claim, ${toolName}` }))
      : [],
  };
}

/** The tools' names where these tell the two apart; the notes have the whole setups. */
function namesOf({ a, b }: Pick<Comparison, 'a' | 'b'>): SideNames {
  const [first, second] = [a.contender, b.contender];
  return first.toolName === second.toolName
    ? sideNames(first, second)
    : { a: first.toolName, b: second.toolName };
}

function shortened(comparison: Comparison, sentence: string): string {
  const { a, b } = comparison;
  return withShortNames(sentence, { a: a.contender, b: b.contender }, namesOf(comparison));
}

function headingOf(comparison: Comparison): { title: string; subtitle: string } {
  const names = namesOf(comparison);
  const { answer } = splitAnswer(shortened(comparison, comparison.sentence));
  const provisional = comparison.isProvisional ? ' Provisional: not all planned rounds are done.' : '';
  return {
    title: `${names.a} against ${names.b}`,
    subtitle: `${sentenceCase(describeComparedStep(comparison.step))}. ${answer}${provisional}`,
  };
}

/** How many runs of which setups it rests on. */
function nNote({ a, b, isLikeForLike }: Comparison): string {
  const short = shortLabels([a.contender.label, b.contender.label]);
  const side = (one: Side): string => `${short.of(one.contender.label)}: ${sideWords(one)}`;
  return withCommon(`n: ${side(a)}; ${side(b)}.${isLikeForLike ? '' : ' Not like for like.'}`, short);
}

function cautionsOf(comparison: Comparison): string[] {
  return comparison.cautions.map((caution) => shortened(comparison, caution));
}

function levelsOf({ measure }: Comparison, claims: readonly Claim[]): CurveChart['levels'] {
  return [
    ...(measure.figure === 'timeToLevel' ? [{ torqueNm: measure.levelNm, label: 'level' }] : []),
    ...claims.map(({ claimedNm, toolName }) => ({ torqueNm: claimedNm, label: `claim, ${toolName}` })),
  ];
}

function claimNotes(claims: readonly Claim[]): string[] {
  if (claims.length === 0) return [];
  const words = claims.map(({ toolName, source, statedOn }) =>
    [toolName, source, statedOn ?? ''].filter((part) => part !== '').join(', '),
  );
  return [`${claims.length === 1 ? 'Claim' : 'Claims'} of the maker: ${words.join('; ')}.`];
}

/** Whether the sentence says, or would say if it could, that B is ahead: the instants above the plot are told its way. */
function isBInFront({ ratio, better }: Pick<Comparison, 'ratio' | 'better'>): boolean {
  if (ratio === null) return false;
  return better === 'more' ? ratio.ratio < 1 : ratio.ratio > 1;
}

/** B over A. */
function turnedRound({ ratio, low, high }: Ratio): Ratio {
  return { ratio: 1 / ratio, low: 1 / high, high: 1 / low };
}

/** "+5.2 ± 3.0 %", or "+34 ± 31 %" where tenths say nothing: the longer side of the interval. */
function ratioWithHalf({ ratio, low, high }: Ratio): string {
  const halfPercent = 100 * Math.max(high - ratio, ratio - low);
  const decimals = halfPercent < 9.95 ? 1 : 0;
  const middle = formatNumber(100 * (ratio - 1), decimals);
  const sign = ratio > 1 && /[1-9]/.test(middle) ? '+' : '';
  return `${sign}${middle} ± ${formatNumber(halfPercent, decimals)}${THIN_SPACE}%`;
}

function intervalOf(
  mean: number,
  { count, scatter }: Side,
  comparison: Comparison,
  distributions: Distributions,
): { readonly low: number | null; readonly high: number | null } {
  const pooled = comparison.scatter;
  const [deviation, degrees] =
    pooled.way === 'welch' ? [scatter, count - 1] : [pooled.standardDeviation, pooled.degreesOfFreedom];
  if (deviation === null || degrees === null || !(degrees > 0) || count === 0)
    return { low: null, high: null };
  const half = (distributions.studentTQuantile(0.975, degrees) * deviation) / Math.sqrt(count);
  return { low: mean * Math.exp(-half), high: mean * Math.exp(half) };
}

function geometricMean(values: readonly number[]): number | null {
  if (values.length === 0 || values.some((value) => !(value > 0))) return null;
  return Math.exp(values.reduce((sum, value) => sum + Math.log(value), 0) / values.length);
}
