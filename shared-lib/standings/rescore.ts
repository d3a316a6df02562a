import type { BoundScheme, BoundTerm } from './bind-schemes.ts';
import type { ScoredInput } from './score-input.ts';
import {
  bestValue,
  finalPoints,
  pointsOfStep,
  referenceValue,
  SCORED,
  type BaseColumns,
  type SchemeColumns,
} from './score-terms.ts';
import type { ToolProperty } from './scheme-model.ts';

export interface Rescorer {
  /** Of the table's scheme per place of the field; NaN for those that are not ranked. */
  readonly totals: Float64Array;
  /** From what the base has in it now. */
  rescore(): void;
}

/**
 * Totals of a base whose columns are written anew time and again, by the rules of score-terms.ts: who is ranked, and who takes
 * part in what, stays as it was scored. Points go straight into the totals, and terms of which nothing moves keep theirs.
 *
 * `moving`: which properties are written anew; measures all are.
 */
export function createRescorer(
  { field, columns }: Pick<ScoredInput, 'field' | 'columns'>,
  base: BaseColumns,
  moving: ReadonlySet<ToolProperty>,
): Rescorer {
  const schemes: RescoredScheme[] = [];
  for (const [index, scheme] of field.schemes.entries()) {
    const scored = columns[index];
    if (scored === undefined) throw new RangeError('A scheme has no columns.');
    schemes.push(planScheme(scheme, scored, { base, moving, earlier: schemes }));
  }
  return {
    totals: schemes.at(-1)?.totals ?? new Float64Array(field.subjects.length),
    rescore() {
      for (const { totals, still, terms, divisors } of schemes) {
        totals.set(still);
        for (const term of terms) addPoints(term, totals);
        if (divisors === null) continue;
        for (let k = 0; k < totals.length; k += 1) totals[k] = at(totals, k) / at(divisors, k);
      }
    },
  };
}

interface RescoredScheme {
  readonly totals: Float64Array;
  /** Points of the terms of which nothing moves; NaN for those that are not ranked. */
  readonly still: Float64Array;
  readonly terms: readonly MovingTerm[];
  /** Null: it is not normalised. */
  readonly divisors: Float64Array | null;
}

interface MovingTerm {
  readonly bound: BoundTerm;
  /** The column of the base itself, unless it has to be divided first. */
  readonly values: Float64Array;
  readonly ratio: { readonly of: Float64Array; readonly to: Float64Array } | null;
  readonly competes: Uint8Array;
  /** Of those that get points by it. */
  readonly places: Int32Array;
}

interface Surroundings {
  readonly base: BaseColumns;
  readonly moving: ReadonlySet<ToolProperty>;
  readonly earlier: readonly RescoredScheme[];
}

function planScheme(
  { version, terms }: BoundScheme,
  { competes, isRanked, parts, rawPoints, divisors, totals }: SchemeColumns,
  around: Surroundings,
): RescoredScheme {
  const still = Float64Array.from(isRanked, (ranked) => (ranked === 1 ? 0 : Number.NaN));
  const moving: MovingTerm[] = [];
  for (const [index, bound] of terms.entries()) {
    const places = Int32Array.from(
      [...isRanked.keys()].filter((k) => isRanked[k] === 1 && parts[index]?.[k] === SCORED),
    );
    const source = movingValues(bound, around);
    if (source !== null) {
      moving.push({ bound, places, competes, ...source });
      continue;
    }
    const { factor, cap } = bound.term;
    for (const k of places) {
      still[k] = at(still, k) + finalPoints(rawPoints[index]?.[k] ?? Number.NaN, factor, cap);
    }
  }
  return {
    totals: totals.slice(),
    still,
    terms: moving,
    divisors: version.isNormalised ? divisors : null,
  };
}

/** Null: nothing moves in it. */
function movingValues(
  { term, measure, property, scheme }: BoundTerm,
  { base, moving, earlier }: Surroundings,
): Pick<MovingTerm, 'values' | 'ratio'> | null {
  const ofTrials = base.measures[measure];
  const ofTool = property === null ? undefined : base.properties[property];
  switch (term.measure.of) {
    case 'trial':
      return ofTrials === undefined ? null : { values: ofTrials, ratio: null };
    case 'tool':
      return ofTool === undefined || property === null || !moving.has(property)
        ? null
        : { values: ofTool, ratio: null };
    case 'ratio':
      return ofTrials === undefined || ofTool === undefined
        ? null
        : { values: new Float64Array(ofTrials.length), ratio: { of: ofTrials, to: ofTool } };
    case 'scheme': {
      const other = earlier[scheme];
      return other === undefined || other.terms.length === 0 ? null : { values: other.totals, ratio: null };
    }
  }
}

function addPoints(term: MovingTerm, totals: Float64Array): void {
  const { bound, values, ratio, competes } = term;
  const { how, better } = bound.term;
  if (ratio !== null) {
    for (let k = 0; k < values.length; k += 1) values[k] = at(ratio.of, k) / at(ratio.to, k);
  }
  switch (how.way) {
    case 'perUnit':
      addInProportion(term, (better === 'more' ? how.points : -how.points) / how.amount, totals);
      return;
    case 'shareOfBest':
    case 'shareOfReference': {
      const whole =
        how.way === 'shareOfBest' ? bestValue(better, values, competes) : referenceValue(bound, values);
      if (better === 'more') addInProportion(term, how.points / whole, totals);
      else addInverse(term, how.points * whole, totals);
      return;
    }
    case 'steps':
      addSteps(term, how.steps, totals);
      return;
  }
}

function addInProportion({ bound, values, places }: MovingTerm, slope: number, totals: Float64Array): void {
  const most = bound.term.cap ?? Infinity;
  const pointsPerUnit = slope * bound.term.factor;
  for (let i = 0; i < places.length; i += 1) {
    const k = places[i] ?? 0;
    const points = at(values, k) * pointsPerUnit;
    totals[k] = at(totals, k) + (points > most ? most : points);
  }
}

function addInverse({ bound, values, places }: MovingTerm, whole: number, totals: Float64Array): void {
  const most = bound.term.cap ?? Infinity;
  const pointsTimesUnit = whole * bound.term.factor;
  for (let i = 0; i < places.length; i += 1) {
    const k = places[i] ?? 0;
    const value = at(values, k);
    const points = value > 0 ? pointsTimesUnit / value : Number.NaN;
    totals[k] = at(totals, k) + (points > most ? most : points);
  }
}

function addSteps(
  { bound, values, places }: MovingTerm,
  steps: Parameters<typeof pointsOfStep>[0],
  totals: Float64Array,
): void {
  const { better, factor, cap } = bound.term;
  for (let i = 0; i < places.length; i += 1) {
    const k = places[i] ?? 0;
    totals[k] = at(totals, k) + finalPoints(pointsOfStep(steps, better, at(values, k)), factor, cap);
  }
}

function at(column: Float64Array, index: number): number {
  return column[index] ?? Number.NaN;
}
