import type { SeededRandom } from '../simulation/seeded-random.ts';
import type { BoundScheme } from './bind-schemes.ts';
import { createNormalDraw } from './draw-normal.ts';
import { drawChiSquareOverDegrees } from './draw-chi-square.ts';
import type { DrawPlan, MeasurePlan, SharedPart } from './draw-plan.ts';
import type { ScoredInput } from './score-input.ts';
import { fillRawPoints, fillTotals, fillValues, type SchemeColumns } from './score-terms.ts';
import type { ToolProperty } from './scheme-model.ts';

export interface TotalsDraw {
  /** Totals of the table's scheme per place of the field, as drawn; NaN for those that are not ranked. */
  readonly totals: Float64Array;
  /** With the same normal draws, as if each scatter were known exactly. */
  readonly plainTotals: Float64Array;
  /** The next draw; without `withPlain` the plain totals stay as they were, which saves half of the work. */
  next(withPlain: boolean): void;
}

/** Draws everything that is uncertain and computes all terms again, who takes part in what staying as it was observed. */
export function createTotalsDraw(scored: ScoredInput, plan: DrawPlan, random: SeededRandom): TotalsDraw {
  const { field, base } = scored;
  const normal = createNormalDraw(random);
  const count = field.subjects.length;
  const measures = base.measures.map((column) => column.slice());
  const plainMeasures = base.measures.map((column) => column.slice());
  const properties: Partial<Record<ToolProperty, Float64Array>> = { ...base.properties };
  const drawnProperties = plan.properties.map(({ property, errors }) => {
    const column = base.properties[property]?.slice() ?? new Float64Array(count);
    properties[property] = column;
    return { observed: base.properties[property] ?? column, errors, column };
  });
  const chis = new Float64Array(plan.chiDegrees.length);
  const known = new Float64Array(plan.chiDegrees.length).fill(1);
  const shared = new Float64Array(plan.sharedCount);
  const steps = plan.steps.map(({ measures: ofStep }) => ofStep.map((one) => createDrawnMeasure(one, count)));
  const isDrawn = new Set(plan.properties.map(({ property }) => property));
  const scheme = createRescorer(scored, { measures, properties }, isDrawn);
  const plain = createRescorer(scored, { measures: plainMeasures, properties }, isDrawn);

  const next = (withPlain: boolean): void => {
    for (let index = 0; index < chis.length; index += 1) {
      const degreesOfFreedom = plan.chiDegrees[index] ?? 0;
      chis[index] =
        degreesOfFreedom > 0 ? 1 / Math.sqrt(drawChiSquareOverDegrees(degreesOfFreedom, random)) : 1;
    }
    for (let index = 0; index < shared.length; index += 1) shared[index] = normal();
    for (const { observed, errors, column } of drawnProperties) {
      for (let k = 0; k < count; k += 1) {
        // On the logarithm, so that a rating never comes out below zero.
        column[k] = at(observed, k) * Math.exp(at(errors, k) * normal());
      }
    }
    for (const ofStep of steps) {
      for (const one of ofStep) fillNormal(one.normals, normal);
      for (const one of ofStep) {
        const { measure } = one.plan;
        correlate(ofStep, one);
        drawShifts(one, shared, chis);
        fillMeans(one, chis, one.shifts, measures[measure] ?? one.mixed);
        if (withPlain) fillMeans(one, known, one.plainShifts, plainMeasures[measure] ?? one.mixed);
      }
    }
    scheme.rescore();
    if (withPlain) plain.rescore();
  };
  return { totals: scheme.totals, plainTotals: plain.totals, next };
}

interface Rescorer {
  readonly totals: Float64Array;
  rescore(): void;
}

/** Terms of which nothing is drawn keep the points that they have. */
function createRescorer(
  { field, columns }: ScoredInput,
  base: {
    readonly measures: readonly Float64Array[];
    readonly properties: Readonly<Partial<Record<ToolProperty, Float64Array>>>;
  },
  isDrawn: ReadonlySet<ToolProperty>,
): Rescorer {
  const count = field.subjects.length;
  const work: { scheme: BoundScheme; own: SchemeColumns }[] = [];
  const moving: boolean[][] = [];
  for (const [index, scheme] of field.schemes.entries()) {
    const own = columns[index];
    if (own === undefined) throw new RangeError('A scheme has no columns.');
    work.push({
      scheme,
      own: {
        ...own,
        values: own.values.map((column) => column.slice()),
        rawPoints: own.rawPoints.map((column) => column.slice()),
        totals: own.totals.slice(),
      },
    });
    moving.push(
      scheme.terms.map(
        ({ measure, property, scheme: other }) =>
          measure >= 0 ||
          (property !== null && isDrawn.has(property)) ||
          (other >= 0 && moving[other]?.includes(true) === true),
      ),
    );
  }
  const owns = work.map(({ own }) => own);
  const totals = owns.at(-1)?.totals ?? new Float64Array(count);
  return {
    totals,
    rescore() {
      for (let index = 0; index < work.length; index += 1) {
        const one = work[index];
        if (one === undefined) continue;
        const { scheme, own } = one;
        for (let term = 0; term < scheme.terms.length; term += 1) {
          const bound = scheme.terms[term];
          const values = own.values[term];
          const raw = own.rawPoints[term];
          if (bound === undefined || values === undefined || raw === undefined) continue;
          if (moving[index]?.[term] !== true) continue;
          fillValues(bound, base, owns, values);
          fillRawPoints(bound, values, own.isRanked, raw);
        }
        fillTotals(scheme, own, own.totals);
      }
    },
  };
}

/** A measure with the room that its draws take. */
interface DrawnMeasure {
  readonly plan: MeasurePlan;
  readonly normals: Float64Array;
  /** The normal draws with the chance that measures of one step share. */
  readonly mixed: Float64Array;
  readonly shifts: Float64Array;
  readonly plainShifts: Float64Array;
}

function createDrawnMeasure(plan: MeasurePlan, count: number): DrawnMeasure {
  return {
    plan,
    normals: new Float64Array(count),
    mixed: new Float64Array(count),
    shifts: new Float64Array(plan.calibrationParts.length),
    plainShifts: new Float64Array(plan.calibrationParts.length),
  };
}

function correlate(ofStep: readonly DrawnMeasure[], { plan, mixed }: DrawnMeasure): void {
  mixed.fill(0);
  for (let row = 0; row < plan.weights.length; row += 1) {
    const weight = plan.weights[row] ?? 0;
    const normals = ofStep[row]?.normals;
    if (weight === 0 || normals === undefined) continue;
    for (let k = 0; k < mixed.length; k += 1) mixed[k] = at(mixed, k) + weight * at(normals, k);
  }
}

function drawShifts(
  { plan, shifts, plainShifts }: DrawnMeasure,
  shared: Float64Array,
  chis: Float64Array,
): void {
  const dayFactor = plan.dayChi < 0 ? 1 : at(chis, plan.dayChi);
  for (let mixture = 0; mixture < shifts.length; mixture += 1) {
    const scale = sumOfShared(plan.calibrationParts[mixture] ?? [], shared);
    const day = sumOfShared(plan.dayParts[mixture] ?? [], shared);
    shifts[mixture] = scale + day * dayFactor;
    plainShifts[mixture] = scale + day;
  }
}

function fillMeans(
  { plan, mixed }: DrawnMeasure,
  chiFactors: Float64Array,
  shifts: Float64Array,
  out: Float64Array,
): void {
  const { means, errors, chis, mixtures } = plan;
  for (let k = 0; k < out.length; k += 1) {
    const scatter = at(errors, k) * at(chiFactors, chis[k] ?? 0);
    out[k] = at(means, k) * expOfSmall(scatter * at(mixed, k) + at(shifts, mixtures[k] ?? 0));
  }
}

/** Its series up to the ninth power, to 2e-12 within 0.3 of zero, where nearly all draws are; the library's elsewhere. */
function expOfSmall(x: number): number {
  if (!(x > -0.3 && x < 0.3)) return Math.exp(x);
  const high = 1 / 120 + x * (1 / 720 + x * (1 / 5040 + x * (1 / 40320 + x * (1 / 362880))));
  return 1 + x * (1 + x * (1 / 2 + x * (1 / 6 + x * (1 / 24 + x * high))));
}

function fillNormal(out: Float64Array, normal: () => number): void {
  for (let k = 0; k < out.length; k += 1) out[k] = normal();
}

function sumOfShared(parts: readonly SharedPart[], shared: Float64Array): number {
  let sum = 0;
  for (const { draw, size } of parts) sum += size * at(shared, draw);
  return sum;
}

function at(column: Float64Array, index: number): number {
  return column[index] ?? Number.NaN;
}
