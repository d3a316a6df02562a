import type { Distributions } from '../calibration/distributions.ts';
import { isTime } from '../comparison/measure-words.ts';
import type { WorkInPieces } from '../work-in-pieces.ts';
import { whyDaysTellTooLittle } from './few-days.ts';
import { parseTrialMeasureKey } from './measure-keys.ts';
import { isScatterKnown } from './rating-scatter.ts';
import {
  correlationOfMeasures,
  lowerTriangle,
  pullsOfMeasure,
  scatterOfMeasure,
  type MeasureScatter,
} from './scatter-of-measures.ts';
import { findProperty, type ScoredInput } from './score-input.ts';
import type { ToolProperty } from './scheme-model.ts';

/** Something common to several contenders: the scale of a calibration in a direction, or a day of the bench. */
export interface SharedPart {
  /** Its place among the normal draws that are shared. */
  readonly draw: number;
  /** Times what of it is in the mean: the share of the trials that it is in. */
  readonly size: number;
}

/** How one measure is drawn. Places k are those of `Field.subjects`. */
export interface MeasurePlan {
  readonly measure: number;
  /** Geometric means; NaN: no value. */
  readonly means: Float64Array;
  /** Standard error of it within sessions. */
  readonly errors: Float64Array;
  /** Which of the chi-square draws goes with it. */
  readonly chis: Int32Array;
  /** Row of the lower triangle of its step's correlations. */
  readonly weights: readonly number[];
  /** Contenders with the same mixture of calibrations and sessions share their shift. */
  readonly mixtures: Int32Array;
  readonly calibrationParts: readonly (readonly SharedPart[])[];
  readonly dayParts: readonly (readonly SharedPart[])[];
  /** Chi-square draw of the day-to-day scatter; -1: none. */
  readonly dayChi: number;
  readonly scatter: MeasureScatter;
  /** What of the mixture has an unknown size; two contenders are told apart by the measure only where it is the same. */
  readonly unknownDays: readonly string[];
  readonly unknownScales: readonly string[];
}

export interface DrawPlan {
  /** Measures of one step, whose chance is correlated. */
  readonly steps: readonly { readonly measures: readonly MeasurePlan[] }[];
  /** Degrees of freedom of each chi-square draw. */
  readonly chiDegrees: readonly number[];
  readonly sharedCount: number;
  /** Those with a standard error. */
  readonly properties: readonly PropertyPlan[];
}

export interface PropertyPlan {
  readonly property: ToolProperty;
  /** Standard error over the value; 0 where none is known. */
  readonly errors: Float64Array;
  /** Chi-square draw of each; -1: none, as if the error were known exactly. */
  readonly chis: Int32Array;
}

export function* planDraws(scored: ScoredInput, distributions: Distributions): WorkInPieces<DrawPlan> {
  const { field, input } = scored;
  const bound = field.schemes.flatMap(({ terms }) => terms);
  const used = [...new Set(bound.flatMap(({ measure }) => (measure < 0 ? [] : [measure])))];
  const steps = Map.groupBy(used, (measure) =>
    JSON.stringify(parseTrialMeasureKey(input.measures[measure] ?? '').step),
  );
  const chiDegrees: number[] = [];
  const addChi = (degreesOfFreedom: number): number => chiDegrees.push(degreesOfFreedom) - 1;
  const shared = new Map<string, number>();
  const drawOf = (name: string): number => {
    const known = shared.get(name);
    if (known !== undefined) return known;
    shared.set(name, shared.size);
    return shared.size - 1;
  };
  const plans: DrawPlan['steps'][number][] = [];
  for (const [step, measures] of steps) {
    // Scatters that come from the same trials are too large or too small together, so they share a draw.
    const pooledChis = new Map<number, number>();
    const pooledChiOf = (degreesOfFreedom: number): number => {
      const known = pooledChis.get(degreesOfFreedom);
      if (known !== undefined) return known;
      const added = addChi(degreesOfFreedom);
      pooledChis.set(degreesOfFreedom, added);
      return added;
    };
    const pulls: ReturnType<typeof pullsOfMeasure>[] = [];
    for (const measure of measures) {
      pulls.push(pullsOfMeasure(scored, measure));
      yield;
    }
    const lower = lowerTriangle(correlationOfMeasures(pulls));
    yield;
    const planned: MeasurePlan[] = [];
    for (const [row, measure] of measures.entries()) {
      const scatter = scatterOfMeasure(pulls[row] ?? [], distributions);
      yield;
      const weights = (lower[row] ?? []).slice(0, row + 1);
      planned.push(planMeasure(scored, measure, { scatter, weights, addChi, pooledChiOf, drawOf, step }));
      yield;
    }
    plans.push({ measures: planned });
  }
  const properties = [...new Set(bound.flatMap(({ property }) => (property === null ? [] : [property])))];
  return {
    steps: plans,
    chiDegrees,
    sharedCount: shared.size,
    properties: properties
      .map((property) => planProperty(scored, property, addChi))
      .filter(({ errors }) => errors.some((error) => error > 0)),
  };
}

function planProperty(
  { field: { subjects } }: ScoredInput,
  property: ToolProperty,
  addChi: Chances['addChi'],
): PropertyPlan {
  const errors = new Float64Array(subjects.length);
  const chis = new Int32Array(subjects.length).fill(-1);
  for (const [k, subject] of subjects.entries()) {
    const found = findProperty(subject, property);
    if (found?.value == null || !(found.value > 0) || !isScatterKnown(found)) continue;
    errors[k] = found.standardError / found.value;
    if (found.degreesOfFreedom !== undefined) chis[k] = addChi(found.degreesOfFreedom);
  }
  return { property, errors, chis };
}

interface Chances {
  readonly scatter: MeasureScatter;
  readonly weights: readonly number[];
  readonly step: string;
  readonly addChi: (degreesOfFreedom: number) => number;
  readonly pooledChiOf: (degreesOfFreedom: number) => number;
  readonly drawOf: (name: string) => number;
}

function planMeasure(
  { field, input, trialsOf, base }: ScoredInput,
  measure: number,
  { scatter, weights, step, addChi, pooledChiOf, drawOf }: Chances,
): MeasurePlan {
  const { subjects } = field;
  const count = subjects.length;
  const errors = new Float64Array(count);
  const chis = new Int32Array(count);
  const mixtures = new Int32Array(count);
  const calibrationParts: SharedPart[][] = [];
  const dayParts: SharedPart[][] = [];
  const unknownDays: string[] = [];
  const unknownScales: string[] = [];
  const mixturePlaces = new Map<string, number>();
  // A time to reach something does not scale with the torque.
  const isScaled = !isTime(parseTrialMeasureKey(input.measures[measure] ?? '').measure);
  const uncertainties = new Map(input.calibrations.map((one) => [one.calibrationId, one.uncertainty]));
  const stated = input.dayToDay[measure] ?? null;
  const dayToDay = whyDaysTellTooLittle(stated) === null ? stated : null;
  const dayChi = dayToDay === null ? -1 : addChi(dayToDay.degreesOfFreedom);
  const pooledChi = pooledChiOf(scatter.degreesOfFreedom);
  for (const [k, { contender }] of subjects.entries()) {
    const trials = trialsOf(measure, contender.key);
    const own = scatter.own.get(k);
    const s = own?.standardDeviation ?? scatter.standardDeviation;
    errors[k] = Number.isNaN(s) ? 0 : s / Math.sqrt(Math.max(1, trials.counted.length));
    chis[k] = own === undefined ? pooledChi : addChi(own.degreesOfFreedom);
    const days = shares(trials.counted.map(({ trial }) => trial.sessionId));
    const scales = isScaled
      ? shares(trials.counted.map(({ trial }) => `${trial.direction} ${trial.calibrationId}`))
      : [];
    const isUnknown = (name: string): boolean => uncertainties.get(name.slice(name.indexOf(' ') + 1)) == null;
    unknownDays.push(dayToDay === null ? mixtureText(days) : '');
    unknownScales.push(mixtureText(scales.filter(([name]) => isUnknown(name))));
    const mixture = `${mixtureText(days)} | ${mixtureText(scales)}`;
    let place = mixturePlaces.get(mixture);
    if (place === undefined) {
      place = mixturePlaces.size;
      mixturePlaces.set(mixture, place);
      calibrationParts.push(
        scales
          .filter(([name]) => !isUnknown(name))
          .map(([name, share]) => ({
            draw: drawOf(`scale ${name}`),
            size: share * (uncertainties.get(name.slice(name.indexOf(' ') + 1)) ?? 0),
          })),
      );
      dayParts.push(
        dayToDay === null
          ? []
          : days.map(([session, share]) => ({
              // One day of the bench moves all measures of a step together.
              draw: drawOf(`day ${step} ${session}`),
              size: share * dayToDay.standardDeviation,
            })),
      );
    }
    mixtures[k] = place;
  }
  return {
    measure,
    means: base.measures[measure] ?? new Float64Array(count),
    errors,
    chis,
    weights,
    mixtures,
    calibrationParts,
    dayParts,
    dayChi,
    scatter,
    unknownDays,
    unknownScales,
  };
}

/** Each name with its share of them, by name. */
function shares(names: readonly string[]): [string, number][] {
  const counts = new Map<string, number>();
  for (const name of names) counts.set(name, (counts.get(name) ?? 0) + 1);
  return [...counts]
    .map(([name, count]): [string, number] => [name, count / names.length])
    .sort(([a], [b]) => (a < b ? -1 : 1));
}

function mixtureText(parts: readonly (readonly [string, number])[]): string {
  return parts.map(([name, share]) => `${name}: ${share}`).join(', ');
}
