import type { SeededRandom } from '../simulation/seeded-random.ts';
import { fillNormals } from './draw-normal.ts';
import { drawChiSquareOverDegrees } from './draw-chi-square.ts';
import type { DrawPlan, MeasurePlan, SharedPart } from './draw-plan.ts';
import { createRescorer } from './rescore.ts';
import type { ScoredInput } from './score-input.ts';
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
  const count = field.subjects.length;
  const measures = base.measures.map((column) => column.slice());
  const plainMeasures = base.measures.map((column) => column.slice());
  const properties: Partial<Record<ToolProperty, Float64Array>> = { ...base.properties };
  const plainProperties: Partial<Record<ToolProperty, Float64Array>> = { ...base.properties };
  const drawnProperties = plan.properties.map(({ property, errors, chis: chiOf }) => {
    const observed = base.properties[property] ?? new Float64Array(count);
    const column = observed.slice();
    const plainColumn = observed.slice();
    properties[property] = column;
    plainProperties[property] = plainColumn;
    return { observed, errors, chiOf, column, plainColumn };
  });
  const chis = new Float64Array(plan.chiDegrees.length);
  const known = new Float64Array(plan.chiDegrees.length).fill(1);
  const shared = new Float64Array(plan.sharedCount);
  const steps = plan.steps.map(({ measures: ofStep }) =>
    ofStep.map((one) => createDrawnMeasure(one, measures[one.measure], plainMeasures[one.measure])),
  );
  const isDrawn = new Set(plan.properties.map(({ property }) => property));
  const scheme = createRescorer(scored, { measures, properties }, isDrawn);
  const plain = createRescorer(scored, { measures: plainMeasures, properties: plainProperties }, isDrawn);

  const next = (withPlain: boolean): void => {
    for (let index = 0; index < chis.length; index += 1) {
      const degreesOfFreedom = plan.chiDegrees[index] ?? 0;
      chis[index] =
        degreesOfFreedom > 0 ? 1 / Math.sqrt(drawChiSquareOverDegrees(degreesOfFreedom, random)) : 1;
    }
    fillNormals(shared, random);
    for (const { observed, errors, chiOf, column, plainColumn } of drawnProperties) {
      fillNormals(column, random);
      for (let k = 0; k < count; k += 1) {
        // On the logarithm, so that a rating never comes out below zero.
        const deviation = at(errors, k) * at(column, k);
        const chi = chiOf[k] ?? -1;
        plainColumn[k] = at(observed, k) * Math.exp(deviation);
        column[k] = chi < 0 ? at(plainColumn, k) : at(observed, k) * Math.exp(deviation * at(chis, chi));
      }
    }
    for (const ofStep of steps) {
      for (const one of ofStep) fillNormals(one.normals, random);
      for (const one of ofStep) {
        correlate(ofStep, one);
        drawShifts(one, shared, chis);
        fillMeans(one, chis, one.shifts, one.means);
        if (withPlain) fillMeans(one, known, one.plainShifts, one.plainMeans);
      }
    }
    scheme.rescore();
    if (withPlain) plain.rescore();
  };
  return { totals: scheme.totals, plainTotals: plain.totals, next };
}

/** A measure with the room that its draws take. */
interface DrawnMeasure {
  readonly plan: MeasurePlan;
  readonly normals: Float64Array;
  /** The normal draws with the chance that measures of one step share. */
  readonly mixed: Float64Array;
  readonly shifts: Float64Array;
  readonly plainShifts: Float64Array;
  readonly means: Float64Array;
  readonly plainMeans: Float64Array;
}

function createDrawnMeasure(
  plan: MeasurePlan,
  means = new Float64Array(plan.means.length),
  plainMeans = new Float64Array(plan.means.length),
): DrawnMeasure {
  const normals = new Float64Array(means.length);
  return {
    plan,
    normals,
    mixed: sharesChance(plan) ? new Float64Array(means.length) : normals,
    shifts: new Float64Array(plan.calibrationParts.length),
    plainShifts: new Float64Array(plan.calibrationParts.length),
    means,
    plainMeans,
  };
}

/** The first of a step has its chance to itself. */
function sharesChance({ weights }: MeasurePlan): boolean {
  return weights.length > 1;
}

function correlate(ofStep: readonly DrawnMeasure[], { plan, mixed }: DrawnMeasure): void {
  if (!sharesChance(plan)) return;
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
  // In pairs of powers, so that no step waits for all before it.
  const square = x * x;
  const high = 1 / 720 + x * (1 / 5040) + square * (1 / 40320 + x * (1 / 362880));
  return 1 + x + square * (1 / 2 + x * (1 / 6) + square * (1 / 24 + x * (1 / 120) + square * high));
}

function sumOfShared(parts: readonly SharedPart[], shared: Float64Array): number {
  let sum = 0;
  for (const { draw, size } of parts) sum += size * at(shared, draw);
  return sum;
}

function at(column: Float64Array, index: number): number {
  return column[index] ?? Number.NaN;
}
