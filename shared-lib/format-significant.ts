import { formatNumber, formatQuantity, fromOwnUnit, type UnitId } from './format-quantity.ts';

/** Six significant digits at most and no zeros at the end: enough to see that a conversion is the one that was meant. */
export function formatSignificant(ownValue: number, unit: UnitId): string {
  return formatQuantity(ownValue, unit, significantDecimals(fromOwnUnit(ownValue, unit)));
}

/** As many as that takes, for a number in the unit that is shown. */
export function significantDecimals(value: number): number {
  const fraction = String(Number(value.toPrecision(6))).split('.')[1];
  return fraction === undefined || fraction.includes('e') ? 0 : fraction.length;
}

/** Enough digits that reading it again gives the same value to what anybody enters, and no tail of a conversion. */
export function shortNumber(value: number): string {
  const rounded = Number(value.toPrecision(9));
  const text = String(rounded);
  if (text.includes('e')) return text;
  return formatNumber(rounded, text.split('.')[1]?.length ?? 0);
}
