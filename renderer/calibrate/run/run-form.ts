import { z } from 'zod';
import {
  type BenchTerms,
  type RunSetup,
  runSeriesSchema,
  runWaySchema,
} from '../../../shared-lib/calibration/run-model.ts';
import type { Standards, Weight } from '../../../shared-lib/calibration/standards-model.ts';
import type { Direction } from '../../../shared-lib/trial/step-model.ts';
import { quantityReader } from '../../ui/read-quantity.ts';
import { FormReader, type FormReading, plainNumberReader } from '../../ui/form-reader.ts';

export const senseOrderSchema = z.literal(['both', 'reverseFirst', 'forward', 'reverse']);
export type SenseOrder = z.infer<typeof senseOrderSchema>;

/** A setup as chosen: standards by their ids, numbers as typed. Kept by this browser, so that nothing is typed twice. */
export const runFormSchema = z.strictObject({
  way: runWaySchema,
  series: runSeriesSchema,
  senses: senseOrderSchema,
  /** Ids of the weights of each level. */
  levels: z.array(z.array(z.string())),
  armId: z.string().nullable(),
  shortArmId: z.string().nullable(),
  siteId: z.string().nullable(),
  exercises: z.string(),
  dwell: z.string(),
  creep: z.boolean(),
  bending: z.boolean(),
  warmUp: z.boolean(),
  temperatureSpan: z.string(),
  spanPerKelvin: z.string(),
  zeroPerKelvin: z.string(),
  drift: z.string(),
});
export type RunForm = z.infer<typeof runFormSchema>;

/** The contract's own limits. */
export const MOST_LEVELS = 20;
export const MOST_WEIGHTS = 20;

export const runReaders = {
  exercises: plainNumberReader(0, 5),
  dwell: quantityReader({ kind: 'duration', unit: 's', min: 0.5, max: 120 }),
  temperatureSpan: quantityReader({ kind: 'temperatureSpan', unit: 'K', min: 0, max: 60 }),
  perKelvin: quantityReader({ kind: 'percent', unit: 'percent', min: 0, max: 1 }),
  drift: quantityReader({ kind: 'percent', unit: 'percent', min: 0, max: 10 }),
} as const;

const senseOrders: Readonly<Record<SenseOrder, readonly Direction[]>> = {
  both: ['forward', 'reverse'],
  reverseFirst: ['reverse', 'forward'],
  forward: ['forward'],
  reverse: ['reverse'],
};

/** Everything at its usual value; the lists fill what has only one sensible choice. */
export function usualRunForm(standards: Standards, isSimulated: boolean): RunForm {
  return {
    way: 'weightsOnArm',
    series: 'full',
    senses: 'both',
    levels: risingLevels(standards.weights.slice(0, MOST_LEVELS)),
    armId: standards.arms[0]?.id ?? null,
    shortArmId: null,
    siteId: standards.sites[0]?.id ?? null,
    exercises: '3',
    // What settles in a program needs no half minute.
    dwell: isSimulated ? '2 s' : '30 s',
    creep: false,
    bending: false,
    warmUp: false,
    temperatureSpan: '',
    spanPerKelvin: '',
    zeroPerKelvin: '',
    drift: '',
  };
}

/** One weight more at each level, in the order given. */
export function risingLevels(weights: readonly Pick<Weight, 'id'>[]): string[][] {
  return weights.map((_, last) => weights.slice(0, last + 1).map(({ id }) => id));
}

/** A way brings the series that go with it; of one weight there is one level. */
export function withWay(form: RunForm, way: RunForm['way']): RunForm {
  if (way === 'oneWeight') return { ...form, way, series: 'twoArmLengths', levels: form.levels.slice(0, 1) };
  return { ...form, way, series: form.series === 'twoArmLengths' ? 'full' : form.series };
}

/** The setup for the services, or what is still needed in the order of the form. */
export function readRunForm(form: RunForm, standards: Standards): FormReading<RunSetup> {
  const reader = new FormReader();
  const weightOf = new Map(standards.weights.map((weight) => [weight.id, weight]));
  const levels = form.levels.map((ids) => ids.flatMap((id) => weightOf.get(id) ?? []));
  if (levels.length === 0) reader.missing.push('a level');
  levels.forEach((weights, place) => {
    if (weights.length === 0) reader.missing.push(`a weight at level ${place + 1}`);
  });
  const arm = standards.arms.find(({ id }) => id === form.armId);
  if (arm === undefined) reader.missing.push('the arm');
  const needsShortArm = form.series === 'twoArmLengths';
  const shortArm = needsShortArm ? standards.arms.find(({ id }) => id === form.shortArmId) : null;
  if (shortArm === undefined) reader.missing.push('the shorter arm');
  const site = standards.sites.find(({ id }) => id === form.siteId);
  if (site === undefined) reader.missing.push('the place');
  const exercises = reader.needed('the exercises', form.exercises, readExercises);
  const dwellS = reader.needed('the dwell', form.dwell, runReaders.dwell);
  const benchTerms = readBenchTerms(form, reader);
  if (reader.missing.length > 0 || arm === undefined || shortArm === undefined || site === undefined) {
    return { missing: reader.missing };
  }
  return {
    value: {
      way: form.way,
      series: form.series,
      senses: [...senseOrders[form.senses]],
      levels,
      arm,
      shortArm,
      site,
      exercises,
      dwellS,
      checks: { creep: form.creep, bending: form.bending, warmUp: form.warmUp },
      benchTerms,
    },
  };
}

/** Whole ones only; nothing is rounded. */
export function readExercises(typed: string) {
  const reading = runReaders.exercises(typed);
  return 'value' in reading && !Number.isInteger(reading.value)
    ? { problem: 'This takes a whole number from 0 to 5.' }
    : reading;
}

function readBenchTerms(form: RunForm, reader: FormReader): BenchTerms {
  return {
    temperatureSpanK: reader.optional(
      'the temperature span',
      form.temperatureSpan,
      runReaders.temperatureSpan,
    ),
    spanPercentPerK: reader.optional('the span coefficient', form.spanPerKelvin, runReaders.perKelvin),
    zeroPercentOfCapacityPerK: reader.optional(
      'the zero coefficient',
      form.zeroPerKelvin,
      runReaders.perKelvin,
    ),
    driftPercent: reader.optional('the drift', form.drift, runReaders.drift),
  };
}

export interface OfferedForm {
  readonly form: RunForm;
  /** Standards of that run which are on no list any more. */
  readonly lostNames: readonly string[];
}

/** The setup of an earlier run, by what the lists have of it now. */
export function offerSetup(setup: RunSetup, standards: Standards): OfferedForm {
  const ids = new Set([
    ...standards.weights.map(({ id }) => id),
    ...standards.arms.map(({ id }) => id),
    ...standards.sites.map(({ id }) => id),
  ]);
  const used = [...setup.levels.flat(), setup.arm, ...(setup.shortArm ? [setup.shortArm] : []), setup.site];
  const lost = new Map(used.filter(({ id }) => !ids.has(id)).map(({ id, name }) => [id, name]));
  const kept = (id: string | undefined) => (id !== undefined && ids.has(id) ? id : null);
  return {
    form: {
      way: setup.way,
      series: setup.series,
      senses: senseOrderOf(setup.senses),
      levels: setup.levels.map((weights) => weights.map(({ id }) => id).filter((id) => ids.has(id))),
      armId: kept(setup.arm.id),
      shortArmId: kept(setup.shortArm?.id),
      siteId: kept(setup.site.id),
      exercises: String(setup.exercises),
      dwell: `${setup.dwellS} s`,
      creep: setup.checks.creep,
      bending: setup.checks.bending,
      warmUp: setup.checks.warmUp,
      temperatureSpan: typedOptional(setup.benchTerms.temperatureSpanK, 'K'),
      spanPerKelvin: typedOptional(setup.benchTerms.spanPercentPerK, '%'),
      zeroPerKelvin: typedOptional(setup.benchTerms.zeroPercentOfCapacityPerK, '%'),
      drift: typedOptional(setup.benchTerms.driftPercent, '%'),
    },
    lostNames: [...lost.values()],
  };
}

/** What this browser remembers, less what was taken off the lists since. */
export function offerRemembered(form: RunForm, standards: Standards): OfferedForm {
  const weightIds = new Set(standards.weights.map(({ id }) => id));
  const lostWeights = new Set(form.levels.flat().filter((id) => !weightIds.has(id)));
  const isLost = (id: string | null, list: readonly { readonly id: string }[]) =>
    id !== null && !list.some((standard) => standard.id === id);
  return {
    form: { ...form, levels: form.levels.map((ids) => ids.filter((id) => weightIds.has(id))) },
    lostNames: [
      ...(lostWeights.size === 0
        ? []
        : [lostWeights.size === 1 ? 'a weight' : `${lostWeights.size} weights`]),
      ...(isLost(form.armId, standards.arms) ? ['an arm'] : []),
      ...(isLost(form.shortArmId, standards.arms) ? ['a shorter arm'] : []),
      ...(isLost(form.siteId, standards.sites) ? ['a place'] : []),
    ],
  };
}

function senseOrderOf(senses: readonly Direction[]): SenseOrder {
  if (senses.length > 1) return senses[0] === 'forward' ? 'both' : 'reverseFirst';
  return senses[0] ?? 'both';
}

function typedOptional(value: number | null, unit: string): string {
  return value === null ? '' : `${value} ${unit}`;
}
