import {
  describeComparedStep,
  describeMeasure,
  formatMeasured,
  isTime,
} from '../comparison/measure-words.ts';
import { formatMoney } from '../catalogue/tool-properties.ts';
import { formatNumber, formatQuantity, formatTorqueInBothUnits, THIN_SPACE } from '../format-quantity.ts';
import type { TermMeasure, ToolProperty } from './scheme-model.ts';

/** How what a term scores is named inside a sentence, and how its values and points are written there. */
const propertyNames: Readonly<Record<ToolProperty, string>> = {
  massBare: 'bare mass',
  massLoaded: 'mass with its pack',
  length: 'length',
  priceBare: 'price of the bare tool',
  priceKit: 'price of the kit',
  declaredVibration: 'declared vibration',
  declaredNoise: 'declared noise',
  handling: 'handling (a judgement)',
  fasteningClaim: 'fastening claim',
  breakawayClaim: 'breakaway claim',
};

export function describeProperty(property: ToolProperty): string {
  return propertyNames[property];
}

/** "sustained torque, tighten forward 5 s"; `schemeName` names the scheme of a total. */
export function describeTermMeasure(
  measure: TermMeasure,
  schemeName: (schemeId: string) => string | null,
): string {
  switch (measure.of) {
    case 'trial':
      return `${describeMeasure(measure.measure)}, ${describeComparedStep(measure.step)}`;
    case 'tool':
      return describeProperty(measure.property);
    case 'ratio':
      return `${describeMeasure(measure.measure)}, ${describeComparedStep(measure.step)}, per ${describeProperty(measure.per)}`;
    case 'scheme':
      return `total of ${quoted(schemeName(measure.schemeId) ?? measure.schemeId)}`;
  }
}

/** A value in SI, money in the currency of the table. */
export function formatTermValue(measure: TermMeasure, value: number, currency: string): string {
  switch (measure.of) {
    case 'trial':
      return formatMeasured(measure.measure, value);
    case 'tool':
      return formatProperty(measure.property, value, currency);
    case 'ratio':
      return formatRatio(measure, value, currency);
    case 'scheme':
      return formatPoints(value);
  }
}

function formatProperty(property: ToolProperty, value: number, currency: string): string {
  switch (property) {
    case 'massBare':
    case 'massLoaded':
      return formatQuantity(value, 'kg', 2);
    case 'length':
      return formatQuantity(value, 'mm', 0);
    case 'priceBare':
    case 'priceKit':
      return formatMoney(Math.round(value * 100) / 100, currency);
    case 'declaredVibration':
      return formatQuantity(value, 'mPerS2', 1);
    case 'declaredNoise':
      return `${formatNumber(value, 1)}${THIN_SPACE}dB(A)`;
    case 'handling':
      return `${formatNumber(value, 1)} of 10`;
    case 'fasteningClaim':
    case 'breakawayClaim':
      return formatTorqueInBothUnits(value, 0);
  }
}

function formatRatio(
  { measure, per }: TermMeasure & { of: 'ratio' },
  value: number,
  currency: string,
): string {
  if (per === 'fasteningClaim' || per === 'breakawayClaim') {
    return `${formatQuantity(value * 100, 'percent', 1)} of the claim`;
  }
  const units: Readonly<Record<Exclude<ToolProperty, 'fasteningClaim' | 'breakawayClaim'>, string>> = {
    massBare: 'kg',
    massLoaded: 'kg',
    length: 'm',
    priceBare: currency,
    priceKit: currency,
    declaredVibration: 'm/s²',
    declaredNoise: 'dB(A)',
    handling: 'point',
  };
  return isTime(measure)
    ? `${formatDigits(value)}${THIN_SPACE}s/${units[per]}`
    : `${formatTorqueInBothUnits(value, decimalsFor(value))} per ${units[per]}`;
}

/** At most two decimals, none that are zero: "12", "96.67". */
export function formatPoints(points: number): string {
  const rounded = Math.round(points * 100) / 100;
  const decimals = [0, 1].find((count) => Number(rounded.toFixed(count)) === rounded) ?? 2;
  return formatNumber(rounded, decimals);
}

/** "96.67 points", "1 point". */
export function pointsInWords(points: number): string {
  const text = formatPoints(points);
  return `${text} ${text === '1' ? 'point' : 'points'}`;
}

function formatDigits(value: number): string {
  return formatNumber(value, decimalsFor(value));
}

/** For four digits or so. */
function decimalsFor(value: number): number {
  const size = Math.abs(value);
  if (!(size > 0)) return 0;
  return Math.min(6, Math.max(0, 3 - Math.floor(Math.log10(size))));
}

export function quoted(name: string): string {
  return `“${name}”`;
}

/** "a, b and c". */
export function listInWords(words: readonly string[]): string {
  const last = words.at(-1) ?? '';
  return words.length < 2 ? last : `${words.slice(0, -1).join(', ')} and ${last}`;
}

/** "1.5", "−2": as many digits as it has, six at most. */
export function formatFactor(factor: number): string {
  return String(Number(factor.toPrecision(6))).replace('-', '\u2212');
}
