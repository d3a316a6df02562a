import { formatNumber } from '../format-quantity.ts';
import { parseTrialMeasureKey } from './measure-keys.ts';
import type { DrawPlan, MeasurePlan } from './draw-plan.ts';
import { LEAST_DEGREES_OF_FREEDOM, whyDaysTellTooLittle } from './few-days.ts';
import { ratingCaution } from './rating-scatter.ts';
import { findProperty, mainScheme, schemeNameOf, type ScoredInput } from './score-input.ts';
import { SCORED } from './score-terms.ts';
import { describeTermMeasure, listInWords } from './term-words.ts';

/** Where the scatter is known too little for a range, or for two to be told apart, and how that is said. */
export interface PlaceLimits {
  /** Per place of the field: 1 where it is ranked and can have a range. */
  readonly hasRange: Uint8Array;
  canTellApart(k: number, other: number): boolean;
  readonly sentences: readonly string[];
}

export function whatCannotBeTold(scored: ScoredInput, plan: DrawPlan): PlaceLimits {
  const { field, input } = scored;
  const { isRanked } = mainScheme(scored).columns;
  const uses = measuresInTotals(scored);
  const hasRange = isRanked.slice();
  const measures = plan.steps.flatMap((step) => step.measures);
  const nameOf = schemeNameOf(scored);
  const words = ({ measure }: MeasurePlan): string =>
    describeTermMeasure({ of: 'trial', ...parseTrialMeasureKey(input.measures[measure] ?? '') }, nameOf);
  const label = (k: number): string => field.subjects[k]?.contender.label ?? '';
  const sentences: string[] = [];
  // One alone has the first place whatever its scatter.
  const isAlone = isRanked.reduce((sum, ranked) => sum + ranked, 0) < 2;
  for (const one of isAlone ? [] : measures) {
    const users = [...field.subjects.keys()].filter(
      (k) => isRanked[k] === 1 && uses[k]?.has(one.measure) === true,
    );
    const { degreesOfFreedom, own } = one.scatter;
    if (degreesOfFreedom < LEAST_DEGREES_OF_FREEDOM) {
      const without = users.filter((k) => !own.has(k));
      for (const k of without) hasRange[k] = 0;
      if (without.length > 0) sentences.push(tooFewRepeats(words(one), degreesOfFreedom, without.map(label)));
    }
    for (const [k, { degreesOfFreedom: ofOwn }] of own) {
      if (!users.includes(k)) continue;
      if (ofOwn >= LEAST_DEGREES_OF_FREEDOM) {
        sentences.push(
          `${label(k)} scatters more than the others in ${words(one)}, so its own scatter is taken there.`,
        );
        continue;
      }
      hasRange[k] = 0;
      sentences.push(
        `${label(k)} scatters far more than the others in ${words(one)}, and ${ofOwn + 1} trials are too few to say by how much. It has no range and stays unseparated from everybody; more trials would give it one.`,
      );
    }
    const why = whyDaysTellTooLittle(input.dayToDay[one.measure]);
    if (why !== null && differ(users, one.unknownDays)) {
      sentences.push(
        `For ${words(one)}: across sessions, day-to-day scatter ${why}. Contenders whose trials are of different sessions are not told apart.`,
      );
    }
    if (differ(users, one.unknownScales)) {
      sentences.push(
        `For ${words(one)} a calibration has no stated uncertainty. Contenders that are read by it in different shares are not told apart.`,
      );
    }
  }
  if (field.schemes.some(({ terms }) => terms.some(({ property }) => property === 'handling'))) {
    const ofRatings = field.subjects.flatMap((subject, k) => {
      const rating = findProperty(subject, 'handling');
      return isRanked[k] !== 1 || rating === undefined ? [] : (ratingCaution(rating) ?? []);
    });
    sentences.push(...new Set(ofRatings));
  }
  return {
    hasRange,
    sentences,
    canTellApart: (k, other) =>
      measures.every(
        ({ measure, unknownDays, unknownScales }) =>
          uses[k]?.has(measure) !== true ||
          uses[other]?.has(measure) !== true ||
          (unknownDays[k] === unknownDays[other] && unknownScales[k] === unknownScales[other]),
      ),
  };
}

export function howToReadRanges(count: number, ranked: number, drawCount: number, seed: number): string[] {
  if (count === 0) return ranked === 0 ? ['Nobody is ranked, so there are no ranges.'] : [];
  return [
    `Each could have any place of its range; with 95 % confidence all ranges hold at once. From ${formatNumber(drawCount, 0)} draws of pulls, days, calibrations and ratings (seed ${seed}); prices, masses, claims and other entries count as exact.`,
  ];
}

/** Per place of the field: the trial measures that its total rests on, through other schemes too. */
function measuresInTotals({ field, columns }: ScoredInput): Set<number>[] {
  const ofSchemes: Set<number>[][] = [];
  for (const [index, { terms }] of field.schemes.entries()) {
    ofSchemes.push(
      field.subjects.map((_subject, k) => {
        const used = new Set<number>();
        for (const [termIndex, { term, measure, scheme }] of terms.entries()) {
          if (term.factor === 0 || columns[index]?.parts[termIndex]?.[k] !== SCORED) continue;
          if (measure >= 0) used.add(measure);
          for (const other of ofSchemes[scheme]?.[k] ?? []) used.add(other);
        }
        return used;
      }),
    );
  }
  return ofSchemes.at(-1) ?? [];
}

function differ(users: readonly number[], texts: readonly string[]): boolean {
  return new Set(users.map((k) => texts[k])).size > 1;
}

function tooFewRepeats(words: string, degreesOfFreedom: number, labels: readonly string[]): string {
  const known =
    degreesOfFreedom === 0
      ? 'no contender has two trials in one session, so nothing says how pulls scatter'
      : `the repeats within sessions give ${degreesOfFreedom} ${degreesOfFreedom === 1 ? 'degree' : 'degrees'} of freedom, and fewer than ${LEAST_DEGREES_OF_FREEDOM} say too little of how pulls scatter`;
  return `No range for ${listInWords(labels)}: for ${words} ${known}. More trials would give one.`;
}
