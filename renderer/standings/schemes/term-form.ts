import type { ComparedStep, TrialMeasure } from '../../../shared-lib/comparison/trial-measure.ts';
import { whyNotMeasured } from '../../../shared-lib/comparison/measure-words.ts';
import type { Term, TermMeasure, TermWay, ToolProperty } from '../../../shared-lib/standings/scheme-model.ts';
import { toolPropertySchema } from '../../../shared-lib/standings/scheme-model.ts';
import type { Direction, Kind } from '../../../shared-lib/trial/step-model.ts';
import type { FormReader } from '../../ui/form-reader.ts';
import { formatSignificant } from '../../../shared-lib/format-significant.ts';
import { quantityReader } from '../../ui/read-quantity.ts';
import { type MeasureQuantity, type QuantityContext, quantityOf } from '../words/measure-quantity.ts';
import { shortNumber } from '../../../shared-lib/format-significant.ts';
import { numberReader } from '../words/typed-number.ts';

/** One term of a scheme as it stands in the form; texts are exactly what was typed. */
export type Figure = TrialMeasure['figure'];
export const instants = [1, 2, 3, 5, 10, 15] as const;
export type Instant = (typeof instants)[number];
export const properties = toolPropertySchema.def.values;

export interface StepRow {
  readonly key: string;
  readonly from: string;
  readonly points: string;
}

export interface TermForm {
  readonly id: string;
  readonly label: string;
  /** Follows the measure until somebody has typed a name. */
  readonly isLabelSuggested: boolean;
  readonly of: TermMeasure['of'];
  readonly kind: Kind;
  readonly direction: Direction;
  readonly planned: string;
  readonly figure: Figure;
  readonly atS: Instant;
  /** One of the levels at which times are measured, so never typed; null: none chosen. */
  readonly levelNm: number | null;
  readonly property: ToolProperty;
  readonly per: ToolProperty;
  readonly schemeId: string | null;
  readonly better: Term['better'];
  readonly way: TermWay['way'];
  readonly points: string;
  readonly amount: string;
  readonly referenceIs: 'contender' | 'value';
  readonly referenceKey: string | null;
  readonly referenceValue: string;
  readonly steps: readonly StepRow[];
  readonly factor: string;
  /** Empty: no cap. */
  readonly cap: string;
  readonly missing: Term['missing'];
}

const points = numberReader({ min: -1e6, max: 1e6 });
export const termReaders = {
  points,
  factor: numberReader({ min: -1000, max: 1000 }),
  cap: numberReader({ min: 0, max: 1e6, isMinExcluded: true }),
  planned: quantityReader({ kind: 'duration', unit: 's', min: 0.5, max: 3600 }),
} as const;

const LONGEST_S = 3600;
const FIGURES: readonly Figure[] = [
  'sustainedTorque',
  'finalTorque',
  'torqueAt',
  'timeTo90Percent',
  'timeToLevel',
  'stallTorque',
  'releasedPreload',
  'lastTorque',
];

/** Which figures a kind of pull has, whatever its time. */
export function figuresOfKind(kind: Kind): Figure[] {
  const step = { kind, direction: 'forward', plannedS: LONGEST_S } as const;
  return FIGURES.filter((figure) => whyNotMeasured(step, sampleOf(figure)) === null);
}

function sampleOf(figure: Figure): TrialMeasure {
  switch (figure) {
    case 'torqueAt':
      return { figure, atS: 1 };
    case 'timeToLevel':
      return { figure, levelNm: 1 };
    default:
      return { figure };
  }
}

export function emptyTermForm(id: string, step: ComparedStep | null): TermForm {
  const kind = step?.kind ?? 'tighten';
  return {
    id,
    label: '',
    isLabelSuggested: true,
    of: 'trial',
    kind,
    direction: step?.direction ?? 'forward',
    planned: formatSignificant(step?.plannedS ?? 5, 's'),
    figure: figuresOfKind(kind)[0] ?? 'sustainedTorque',
    atS: 5,
    levelNm: null,
    property: 'massLoaded',
    per: 'massLoaded',
    schemeId: null,
    better: 'more',
    way: 'shareOfBest',
    points: '100',
    amount: '',
    referenceIs: 'value',
    referenceKey: null,
    referenceValue: '',
    steps: [],
    factor: '1',
    cap: '',
    missing: 'leaveOut',
  };
}

export function termForm(term: Term, context: QuantityContext, newKey: () => string): TermForm {
  const { measure, how } = term;
  const quantity = quantityOf(measure, context);
  const base = emptyTermForm(term.id, measure.of === 'trial' || measure.of === 'ratio' ? measure.step : null);
  return {
    ...base,
    ...measureFields(measure),
    ...wayFields(how, quantity, newKey),
    label: term.label,
    isLabelSuggested: false,
    better: term.better,
    factor: shortNumber(term.factor),
    cap: term.cap === null ? '' : shortNumber(term.cap),
    missing: term.missing,
  };
}

function measureFields(measure: TermMeasure): Partial<TermForm> {
  switch (measure.of) {
    case 'tool':
      return { of: 'tool', property: measure.property };
    case 'scheme':
      return { of: 'scheme', schemeId: measure.schemeId };
    default: {
      const trial = measure.measure;
      return {
        of: measure.of,
        figure: trial.figure,
        ...(trial.figure === 'torqueAt' ? { atS: trial.atS } : {}),
        ...(trial.figure === 'timeToLevel' ? { levelNm: trial.levelNm } : {}),
        ...(measure.of === 'ratio' ? { per: measure.per } : {}),
      };
    }
  }
}

function wayFields(how: TermWay, quantity: MeasureQuantity, newKey: () => string): Partial<TermForm> {
  switch (how.way) {
    case 'perUnit':
      return { way: 'perUnit', points: shortNumber(how.points), amount: quantity.typed(how.amount) };
    case 'shareOfBest':
      return { way: 'shareOfBest', points: shortNumber(how.points) };
    case 'shareOfReference': {
      const { reference } = how;
      return {
        way: 'shareOfReference',
        points: shortNumber(how.points),
        referenceIs: reference.is,
        ...(reference.is === 'contender'
          ? { referenceKey: reference.key }
          : { referenceValue: quantity.typed(reference.value) }),
      };
    }
    case 'steps':
      return {
        way: 'steps',
        steps: how.steps.map(({ from, points: atStep }) => ({
          key: newKey(),
          from: quantity.typed(from),
          points: shortNumber(atStep),
        })),
      };
  }
}

/** What the fields say is measured; null while a number in them is none. */
export function measureOf(form: TermForm): TermMeasure | null {
  switch (form.of) {
    case 'tool':
      return { of: 'tool', property: form.property };
    case 'scheme':
      return form.schemeId === null ? null : { of: 'scheme', schemeId: form.schemeId };
    default: {
      const planned = termReaders.planned(form.planned);
      const measure = figureOf(form);
      if (!('value' in planned) || measure === null) return null;
      const step = { kind: form.kind, direction: form.direction, plannedS: planned.value };
      return form.of === 'trial'
        ? { of: 'trial', step, measure }
        : { of: 'ratio', step, measure, per: form.per };
    }
  }
}

function figureOf(form: TermForm): TrialMeasure | null {
  switch (form.figure) {
    case 'torqueAt':
      return { figure: 'torqueAt', atS: form.atS };
    case 'timeToLevel':
      return form.levelNm === null ? null : { figure: 'timeToLevel', levelNm: form.levelNm };
    default:
      return { figure: form.figure };
  }
}

/** In which unit the numbers of the way are typed; a measure that is not complete yet has none. */
export function quantityOfForm(form: TermForm, context: QuantityContext): MeasureQuantity | null {
  const measure = measureOf(form);
  return measure === null ? null : quantityOf(measure, context);
}

/** Reads a term; what is still needed goes to the reader. Null only where something is. */
export function readTermForm(
  form: TermForm,
  label: string,
  context: QuantityContext,
  reader: FormReader,
): Term | null {
  const of = `of “${label === '' ? 'the new term' : label}”`;
  if (label === '') reader.missing.push(`the name ${of}`);
  if (form.of === 'scheme' && form.schemeId === null) reader.missing.push(`the other scheme ${of}`);
  if (form.of === 'trial' || form.of === 'ratio') {
    reader.needed(`the time ${of}`, form.planned, termReaders.planned);
    if (form.figure === 'timeToLevel' && form.levelNm === null) reader.missing.push(`the torque level ${of}`);
  }
  const measure = measureOf(form);
  if (measure === null) return null;
  const how = readWay(form, quantityOf(measure, context), of, reader);
  const factor = reader.needed(`the factor ${of}`, form.factor, termReaders.factor);
  const cap = reader.optional(`the cap ${of}`, form.cap, termReaders.cap);
  if (how === null) return null;
  return { id: form.id, label, measure, better: form.better, how, factor, cap, missing: form.missing };
}

function readWay(form: TermForm, quantity: MeasureQuantity, of: string, reader: FormReader): TermWay | null {
  const pointsOf = () => reader.needed(`the points ${of}`, form.points, termReaders.points);
  switch (form.way) {
    case 'perUnit':
      return {
        way: 'perUnit',
        points: pointsOf(),
        amount: settled(reader.needed(`the amount ${of}`, form.amount, quantity.reader(true))),
      };
    case 'shareOfBest':
      return { way: 'shareOfBest', points: pointsOf() };
    case 'shareOfReference': {
      if (form.referenceIs === 'value') {
        const value = settled(
          reader.needed(`the reference ${of}`, form.referenceValue, quantity.reader(true)),
        );
        return { way: 'shareOfReference', points: pointsOf(), reference: { is: 'value', value } };
      }
      if (form.referenceKey === null) {
        reader.missing.push(`the reference tool ${of}`);
        return null;
      }
      const reference = { is: 'contender', key: form.referenceKey } as const;
      return { way: 'shareOfReference', points: pointsOf(), reference };
    }
    case 'steps': {
      if (form.steps.length === 0) reader.missing.push(`a step of points ${of}`);
      const steps = form.steps.map((row, index) => ({
        from: settled(
          reader.needed(`the value of step ${index + 1} ${of}`, row.from, quantity.reader(false)),
        ),
        points: reader.needed(`the points of step ${index + 1} ${of}`, row.points, termReaders.points),
      }));
      return steps.length === 0 ? null : { way: 'steps', steps };
    }
  }
}

/** A digit less than fields show, so that a value comes back from another unit as what it was. */
function settled(value: number): number {
  return Number(value.toPrecision(8));
}
