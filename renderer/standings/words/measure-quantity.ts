import { shortNumber } from '../../../shared-lib/format-significant.ts';
import type { TorqueUnit } from '../../../shared-lib/api-contract.ts';
import { assertNever } from '../../../shared-lib/assert-never.ts';
import type { TrialMeasure } from '../../../shared-lib/comparison/trial-measure.ts';
import {
  formatNumber,
  fromOwnUnit,
  THIN_SPACE,
  type UnitId,
  unitLabel,
} from '../../../shared-lib/format-quantity.ts';
import type { TermMeasure, ToolProperty } from '../../../shared-lib/standings/scheme-model.ts';
import { levelWords } from '../../../shared-lib/level-words.ts';
import type { TorqueDisplay } from '../../../shared-lib/torque-display.ts';
import { plainTyped, type QuantityReader, quantityInUnit } from './typed-number.ts';

/** How the values of a measure are written and typed: in the chosen unit of torque, money in the table's currency. */
export interface MeasureQuantity {
  /** "N·m/kg"; empty for what has none. */
  readonly unit: string;
  /** Null: by their size, see `columnDecimals`. */
  readonly decimals: number | null;
  /** From SI to the shown unit. */
  readonly toShown: (value: number) => number;
  /** What was typed, to SI; above zero where `isAboveZero`. */
  readonly reader: (isAboveZero: boolean) => QuantityReader;
  /** For a field: with its unit, so that it means the same after the unit of torque was switched. */
  readonly typed: (value: number) => string;
  /** "10 N·m" within a sentence. */
  readonly inWords: (value: number) => string;
}

export interface QuantityContext {
  readonly torque: Pick<TorqueDisplay, 'unit' | 'unitLabel' | 'decimals'>;
  readonly currency: string;
}

/** Ratios are derived from two values, neither of which is known to more than some three digits. */
const RATIO_DIGITS = 3;

export function quantityOf(measure: TermMeasure, context: QuantityContext): MeasureQuantity {
  switch (measure.of) {
    case 'trial':
      return inUnit(figureUnit(measure.measure, context), figureDecimals(measure.measure, context));
    case 'tool':
      return propertyQuantity(measure.property, context);
    case 'ratio':
      return ratioQuantity(measure.measure, measure.per, context);
    case 'scheme':
      return plain('points', null, 1);
    default:
      return assertNever(measure, 'This measure has no quantity');
  }
}

/** The same number of decimals for all values of a column; derived ones to three digits of the greatest. */
export function columnDecimals(quantity: MeasureQuantity, values: readonly number[]): number {
  if (quantity.decimals !== null) return quantity.decimals;
  const greatest = Math.max(0, ...values.map((value) => Math.abs(quantity.toShown(value))));
  if (greatest === 0 || !Number.isFinite(greatest)) return 1;
  return Math.min(Math.max(RATIO_DIGITS - 1 - Math.floor(Math.log10(greatest)), 0), 4);
}

/** "412.3 N·m". */
export function formatValue(quantity: MeasureQuantity, value: number, decimals: number): string {
  const number = formatNumber(quantity.toShown(value), decimals);
  return quantity.unit === '' ? number : `${number}${THIN_SPACE}${quantity.unit}`;
}

function figureUnit({ figure }: TrialMeasure, { torque }: QuantityContext): UnitId {
  return figure === 'timeTo90Percent' || figure === 'timeToLevel' ? 's' : torque.unit;
}

function figureDecimals({ figure }: TrialMeasure, { torque }: QuantityContext): number {
  return figure === 'timeTo90Percent' || figure === 'timeToLevel' ? 2 : torque.decimals;
}

function propertyQuantity(property: ToolProperty, { torque, currency }: QuantityContext): MeasureQuantity {
  switch (property) {
    case 'massBare':
    case 'massLoaded':
      return inUnit('kg', 2);
    case 'length':
      return inUnit('mm', 0);
    case 'priceBare':
    case 'priceKit':
      return plain(currency, 2, 1);
    case 'declaredVibration':
      return inUnit('mPerS2', 1);
    case 'declaredNoise':
      return plain('dB', 1, 1);
    case 'handling':
      return plain('of 10', 1, 1);
    case 'fasteningClaim':
    case 'breakawayClaim':
      return inUnit(torque.unit, torque.decimals);
    default:
      return assertNever(property, 'This property has no quantity');
  }
}

function ratioQuantity(measure: TrialMeasure, per: ToolProperty, context: QuantityContext): MeasureQuantity {
  const unit = figureUnit(measure, context);
  if (per === 'fasteningClaim' || per === 'breakawayClaim') {
    return unit === 's'
      ? plain(`s/${context.torque.unitLabel}`, null, 1 / fromOwnUnit(1, context.torque.unit))
      : plain('%', 1, 100);
  }
  const numerator = unit === 's' ? 's' : context.torque.unitLabel;
  return plain(`${numerator}/${perUnits(context.currency)[per]}`, null, fromOwnUnit(1, unit));
}

function perUnits(
  currency: string,
): Readonly<Record<Exclude<ToolProperty, 'fasteningClaim' | 'breakawayClaim'>, string>> {
  return {
    massBare: 'kg',
    massLoaded: 'kg',
    length: 'm',
    priceBare: currency,
    priceKit: currency,
    declaredVibration: '(m/s²)',
    declaredNoise: 'dB',
    handling: 'point',
  };
}

function inUnit(unit: UnitId, decimals: number): MeasureQuantity {
  const label = unitLabel(unit);
  const isTorque = unit === 'Nm' || unit === 'ftLbf';
  return {
    unit: label,
    decimals,
    toShown: (value) => fromOwnUnit(value, unit),
    reader: (isAboveZero) => quantityInUnit(unit, isAboveZero),
    typed: (value) => (isTorque ? typedTorque(value, unit) : typedIn(value, unit)),
    inWords: (value) => (isTorque ? levelWords(value, unit) : typedIn(value, unit)),
  };
}

/** `factor`: shown = SI times this. */
function plain(unit: string, decimals: number | null, factor: number): MeasureQuantity {
  const withUnit = (number: string) => (unit === '' ? number : `${number}${THIN_SPACE}${unit}`);
  return {
    unit,
    decimals,
    toShown: (value) => value * factor,
    reader: (isAboveZero) => plainTyped(unit, factor, isAboveZero),
    typed: (value) => withUnit(shortNumber(value * factor)),
    inWords: (value) => withUnit(shortNumber(Number((value * factor).toPrecision(WORD_DIGITS)))),
  };
}

const WORD_DIGITS = 5;
/** By so many characters less, a number is the one that somebody chose. */
const CLEARLY_SHORTER = 4;

function typedIn(value: number, unit: UnitId): string {
  return `${shortNumber(fromOwnUnit(value, unit))}${THIN_SPACE}${unitLabel(unit)}`;
}

/** In the chosen unit, unless it was plainly chosen in the other: "10 N·m" rather than "7.37562149 ft·lbf". */
function typedTorque(torqueNm: number, unit: TorqueUnit): string {
  const other: TorqueUnit = unit === 'Nm' ? 'ftLbf' : 'Nm';
  const own = shortNumber(fromOwnUnit(torqueNm, unit));
  const inOther = shortNumber(fromOwnUnit(torqueNm, other));
  return typedIn(torqueNm, inOther.length + CLEARLY_SHORTER <= own.length ? other : unit);
}
