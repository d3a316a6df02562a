import type { SeededRandom } from '../simulation/seeded-random.ts';
import type { BoundScheme } from './bind-schemes.ts';
import { drawChiSquareOverDegrees } from './draw-chi-square.ts';
import type { DrawPlan, SharedPart } from './draw-plan.ts';
import type { ScoredInput } from './score-input.ts';
import { fillRawPoints, fillTotals, fillValues, type SchemeColumns } from './score-terms.ts';
import type { ToolProperty } from './scheme-model.ts';

export interface TotalsDraw {
  /** Totals of the table's scheme per place of the field, as drawn; NaN for those that are not ranked. */
  readonly totals: Float64Array;
  /** With the same normal draws, as if each scatter were known exactly. */
  readonly plainTotals: Float64Array;
  /** The next draw, into the two. */
  next(): void;
}

/** Draws everything that is uncertain and computes all terms again, who takes part in what staying as it was observed. */
export function createTotalsDraw(scored: ScoredInput, plan: DrawPlan, random: SeededRandom): TotalsDraw {
  const { field, base } = scored;
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
  const shared = new Float64Array(plan.sharedCount);
  const steps = plan.steps.map(({ measures: ofStep }) => ({
    ofStep,
    normals: new Float64Array(ofStep.length),
    shifts: ofStep.map(({ calibrationParts }) => new Float64Array(calibrationParts.length)),
    plainShifts: ofStep.map(({ calibrationParts }) => new Float64Array(calibrationParts.length)),
  }));
  const isDrawn = new Set(plan.properties.map(({ property }) => property));
  const scheme = createRescorer(scored, { measures, properties }, isDrawn);
  const plain = createRescorer(scored, { measures: plainMeasures, properties }, isDrawn);

  const next = (): void => {
    for (let index = 0; index < chis.length; index += 1) {
      const degreesOfFreedom = plan.chiDegrees[index] ?? 0;
      chis[index] =
        degreesOfFreedom > 0 ? 1 / Math.sqrt(drawChiSquareOverDegrees(degreesOfFreedom, random)) : 1;
    }
    for (let index = 0; index < shared.length; index += 1) shared[index] = random.gaussian();
    for (const { observed, errors, column } of drawnProperties) {
      for (let k = 0; k < count; k += 1) {
        // On the logarithm, so that a rating never comes out below zero.
        column[k] = at(observed, k) * Math.exp(at(errors, k) * random.gaussian());
      }
    }
    for (const { ofStep, normals, shifts, plainShifts } of steps) {
      for (let row = 0; row < ofStep.length; row += 1) {
        const one = ofStep[row];
        const shift = shifts[row];
        const plainShift = plainShifts[row];
        if (one === undefined || shift === undefined || plainShift === undefined) continue;
        const dayFactor = one.dayChi < 0 ? 1 : at(chis, one.dayChi);
        for (let mixture = 0; mixture < shift.length; mixture += 1) {
          const scale = sumOfShared(one.calibrationParts[mixture] ?? [], shared);
          const day = sumOfShared(one.dayParts[mixture] ?? [], shared);
          shift[mixture] = scale + day * dayFactor;
          plainShift[mixture] = scale + day;
        }
      }
      for (let k = 0; k < count; k += 1) {
        for (let row = 0; row < normals.length; row += 1) normals[row] = random.gaussian();
        for (let row = 0; row < normals.length; row += 1) {
          const one = ofStep[row];
          if (one === undefined) continue;
          const { weights, mixtures } = one;
          let normal = 0;
          for (let j = 0; j <= row; j += 1) normal += (weights[j] ?? 0) * at(normals, j);
          const lnMean = at(one.lnMeans, k);
          const deviation = at(one.errors, k) * normal;
          const mixture = mixtures[k] ?? 0;
          const drawn = measures[one.measure];
          const drawnPlain = plainMeasures[one.measure];
          if (drawn === undefined || drawnPlain === undefined) continue;
          drawn[k] = Math.exp(lnMean + deviation * at(chis, one.chis[k] ?? 0) + at(shifts[row], mixture));
          drawnPlain[k] = Math.exp(lnMean + deviation + at(plainShifts[row], mixture));
        }
      }
    }
    scheme.rescore();
    plain.rescore();
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

function sumOfShared(parts: readonly SharedPart[], shared: Float64Array): number {
  let sum = 0;
  for (const { draw, size } of parts) sum += size * at(shared, draw);
  return sum;
}

function at(column: Float64Array | undefined, index: number): number {
  return column?.[index] ?? Number.NaN;
}
