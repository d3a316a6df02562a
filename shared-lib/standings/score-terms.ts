import type { BoundScheme, BoundTerm, Field } from './bind-schemes.ts';
import type { ToolProperty } from './scheme-model.ts';

/**
 * The arithmetic of a scheme, by columns: place k of each array belongs to subject k of the field, NaN stands for nothing.
 * Standings and their draws both run through it, so that a place and its range can never follow different rules.
 */
export interface BaseColumns {
  /** Geometric mean per entry of `StandingsInput.measures`. */
  readonly measures: readonly Float64Array[];
  readonly properties: Readonly<Partial<Record<ToolProperty, Float64Array>>>;
}

/** How a cell takes part in the total. */
export const LEFT_OUT = 0;
export const SCORED = 1;
/** Without a value, by the rule that it counts as zero. */
export const ZERO = 2;

export interface SchemeColumns {
  readonly values: readonly Float64Array[];
  /** Before factor and cap. */
  readonly rawPoints: readonly Float64Array[];
  /** Per term: LEFT_OUT, SCORED or ZERO. */
  readonly parts: readonly Uint8Array[];
  /** 1: among those of whom the best is the best. Points that come of it can still keep somebody from being ranked. */
  readonly competes: Uint8Array;
  /** 1: has a total. */
  readonly isRanked: Uint8Array;
  /** What the sum is divided by; 1 where the scheme is not normalised. */
  readonly divisors: Float64Array;
  readonly totals: Float64Array;
}

/** Places in `Field.schemes` to columns. */
export function scoreSchemes(field: Field, base: BaseColumns): SchemeColumns[] {
  const scored: SchemeColumns[] = [];
  for (const scheme of field.schemes) scored.push(scoreScheme(field, scheme, base, scored));
  return scored;
}

function scoreScheme(
  { subjects }: Field,
  scheme: BoundScheme,
  base: BaseColumns,
  earlier: readonly SchemeColumns[],
): SchemeColumns {
  const count = subjects.length;
  const values = scheme.terms.map((bound) => {
    const column = new Float64Array(count);
    fillValues(bound, base, earlier, column);
    return column;
  });
  const isRanked = Uint8Array.from(subjects, ({ notRankedBecause }) => (notRankedBecause === null ? 1 : 0));
  const unrankWithout = (columns: readonly Float64Array[]): void => {
    for (const [index, { term }] of scheme.terms.entries()) {
      if (term.missing !== 'notRanked') continue;
      const column = columns[index] ?? new Float64Array();
      for (let k = 0; k < count; k += 1) if (Number.isNaN(column[k])) isRanked[k] = 0;
    }
  };
  // The best is the best of those that are ranked: points of somebody who is not in the table cannot be checked in it.
  unrankWithout(values);
  const competes = isRanked.slice();
  const rawPoints = scheme.terms.map((bound, index) => {
    const column = new Float64Array(count);
    fillRawPoints(bound, values[index] ?? column, competes, column);
    return column;
  });
  unrankWithout(rawPoints);
  const parts = scheme.terms.map(({ term }, index) =>
    Uint8Array.from(rawPoints[index] ?? [], (points) =>
      Number.isNaN(points) ? (term.missing === 'zero' ? ZERO : LEFT_OUT) : SCORED,
    ),
  );
  const divisors = new Float64Array(count).fill(1);
  for (let k = 0; k < count; k += 1) {
    // Zero for want of everything would look like a bad tool.
    if (!parts.some((part) => part[k] === SCORED)) isRanked[k] = 0;
    if (!scheme.version.isNormalised) continue;
    divisors[k] = factorSum(scheme, parts, k);
    if (!(at(divisors, k) > 0)) isRanked[k] = 0;
  }
  const columns = { values, rawPoints, parts, competes, isRanked, divisors, totals: new Float64Array(count) };
  fillTotals(scheme, columns, columns.totals);
  return columns;
}

/** Sum of the factors that take part in the total of subject k, without what rounding leaves of zero. */
export function factorSum(scheme: BoundScheme, parts: readonly Uint8Array[], k: number): number {
  let sum = 0;
  let size = 0;
  for (let index = 0; index < scheme.terms.length; index += 1) {
    if (parts[index]?.[k] === LEFT_OUT) continue;
    const factor = scheme.terms[index]?.term.factor ?? 0;
    sum += factor;
    size += Math.abs(factor);
  }
  return Math.abs(sum) <= 1e-12 * size ? 0 : sum;
}

export function fillValues(
  { term, measure, property, scheme, brokenBecause }: BoundTerm,
  base: BaseColumns,
  earlier: readonly Pick<SchemeColumns, 'totals'>[],
  out: Float64Array,
): void {
  const ofTrials = base.measures[measure];
  const ofTool = property === null ? undefined : base.properties[property];
  const ofScheme = earlier[scheme]?.totals;
  out.fill(Number.NaN);
  if (brokenBecause !== null) return;
  switch (term.measure.of) {
    case 'trial':
      if (ofTrials) out.set(ofTrials);
      return;
    case 'tool':
      if (ofTool) out.set(ofTool);
      return;
    case 'ratio':
      if (ofTrials && ofTool) {
        for (let k = 0; k < out.length; k += 1) out[k] = at(ofTrials, k) / at(ofTool, k);
      }
      return;
    case 'scheme':
      if (ofScheme) out.set(ofScheme);
      return;
  }
}

/** The best value of those that compete; NaN where no share can be made of it. */
export function bestValue(better: 'more' | 'less', values: Float64Array, competes: Uint8Array): number {
  // Of what is not above zero there is no share; where less is better it would be the best by far.
  const worst = better === 'more' ? 0 : Infinity;
  let best = worst;
  for (let k = 0; k < values.length; k += 1) {
    const value = at(values, k);
    // False for what is missing. Seldom true, so who competes is looked up for few.
    const isBetter = better === 'more' ? value > best : value < best && value > 0;
    if (isBetter && competes[k] === 1) best = value;
  }
  return best === worst ? Number.NaN : best;
}

/** What the reference has; NaN: nothing that a share could be made of. */
export function referenceValue({ term, reference }: BoundTerm, values: Float64Array): number {
  if (term.how.way !== 'shareOfReference') return Number.NaN;
  const value = term.how.reference.is === 'value' ? term.how.reference.value : at(values, reference);
  return value > 0 ? value : Number.NaN;
}

/**
 * From values to points, before factor and cap; NaN where there are none.
 *
 * Where less is better: `perUnit` takes the points away, a share is turned over (half of the best value is twice its
 * points), and a step is reached by a value up to its `from` (the points of the lowest such step, none above the last).
 */
export function fillRawPoints(
  bound: BoundTerm,
  values: Float64Array,
  competes: Uint8Array,
  out: Float64Array,
): void {
  const { how, better } = bound.term;
  const count = values.length;
  switch (how.way) {
    case 'perUnit': {
      const slope = (better === 'more' ? how.points : -how.points) / how.amount;
      for (let k = 0; k < count; k += 1) out[k] = at(values, k) * slope;
      return;
    }
    case 'shareOfBest':
    case 'shareOfReference': {
      const whole =
        how.way === 'shareOfBest' ? bestValue(better, values, competes) : referenceValue(bound, values);
      if (better === 'more') {
        const slope = how.points / whole;
        // The best has its points to the last digit.
        for (let k = 0; k < count; k += 1) {
          const value = at(values, k);
          out[k] = value === whole ? how.points : value * slope;
        }
      } else {
        for (let k = 0; k < count; k += 1) {
          const value = at(values, k);
          out[k] = value > 0 ? (how.points * whole) / value : Number.NaN;
        }
      }
      return;
    }
    case 'steps': {
      const { steps } = how;
      for (let k = 0; k < count; k += 1) {
        const value = at(values, k);
        out[k] = Number.isNaN(value) ? Number.NaN : pointsOfStep(steps, better, value);
      }
      return;
    }
  }
}

/** Of a value that is there. */
export function pointsOfStep(
  steps: readonly { readonly from: number; readonly points: number }[],
  better: 'more' | 'less',
  value: number,
): number {
  let points = 0;
  for (const step of steps) {
    if (better === 'less') {
      if (value <= step.from) return step.points;
    } else if (value >= step.from) points = step.points;
  }
  return points;
}

/** Points of a cell after factor and cap. */
export function finalPoints(rawPoints: number, factor: number, cap: number | null): number {
  const points = rawPoints * factor;
  // Adding zero makes a plain zero of minus zero.
  return (cap !== null && points > cap ? cap : points) + 0;
}

/** NaN for those without a total. */
export function fillTotals(
  scheme: BoundScheme,
  { rawPoints, parts, isRanked, divisors }: Omit<SchemeColumns, 'values' | 'competes' | 'totals'>,
  out: Float64Array,
): void {
  out.fill(0);
  for (let index = 0; index < scheme.terms.length; index += 1) {
    const term = scheme.terms[index]?.term;
    const raw = rawPoints[index];
    const part = parts[index];
    if (term === undefined || raw === undefined || part === undefined) continue;
    const { factor, cap } = term;
    const most = cap ?? Infinity;
    for (let k = 0; k < out.length; k += 1) {
      if (part[k] !== SCORED) continue;
      const points = at(raw, k) * factor;
      out[k] = at(out, k) + (points > most ? most : points);
    }
  }
  if (scheme.version.isNormalised) {
    for (let k = 0; k < out.length; k += 1) out[k] = at(out, k) / at(divisors, k);
  }
  for (let k = 0; k < out.length; k += 1) if (isRanked[k] !== 1) out[k] = Number.NaN;
}

function at(column: Float64Array, index: number): number {
  return column[index] ?? Number.NaN;
}
