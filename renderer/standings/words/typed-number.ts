import { THIN_SPACE, unitLabel, type UnitId } from '../../../shared-lib/format-quantity.ts';
import type { QuantityReading } from '../../ui/QuantityField.tsx';
import { quantityReader } from '../../ui/read-quantity.ts';

export type QuantityReader = (typed: string) => QuantityReading;

const MOST = 1e9;
const MINUS = '\u2212';

/** For units that the program can convert; another of the same kind may be typed. */
export function quantityInUnit(unit: UnitId, isAboveZero: boolean): QuantityReader {
  const range = { min: isAboveZero ? 0 : -MOST, max: MOST, isMinExcluded: isAboveZero };
  switch (unit) {
    case 'kg':
      return quantityReader({ kind: 'mass', unit, ...range });
    case 'mm':
      return quantityReader({ kind: 'length', unit, ...range });
    case 's':
      return quantityReader({ kind: 'duration', unit, ...range });
    case 'mPerS2':
      return quantityReader({ kind: 'acceleration', unit, ...range });
    case 'Nm':
    case 'ftLbf':
      return quantityReader({ kind: 'torque', unit, ...range });
    default:
      throw new Error(`No field of a scheme is typed in ${unitLabel(unit)}.`);
  }
}

/** For what has no other unit, such as money and ratios; the unit may be typed behind the number. Shown = SI times `factor`. */
export function plainTyped(unit: string, factor: number, isAboveZero: boolean): QuantityReader {
  return (typed) => {
    const number = readNumber(withoutUnit(typed, unit));
    if ('problem' in number) return number;
    const value = number.value / factor;
    if (isAboveZero && !(value > 0)) return { problem: 'This takes a number above 0.' };
    if (Math.abs(value) > MOST) return { problem: 'That is too large a number.' };
    return { value, shown: `${typedNumber(number.value)}${unit === '' ? '' : THIN_SPACE + unit}` };
  };
}

/** Points and factors: a number with comma or point, and a sign. */
export function numberReader(rule: {
  readonly min: number;
  readonly max: number;
  readonly isMinExcluded?: boolean;
}): QuantityReader {
  return (typed) => {
    const number = readNumber(typed);
    if ('problem' in number) return number;
    const isAbove = rule.isMinExcluded === true ? number.value > rule.min : number.value >= rule.min;
    if (!isAbove || number.value > rule.max) {
      return {
        problem:
          rule.isMinExcluded === true
            ? `This takes more than ${typedNumber(rule.min)}, up to ${typedNumber(rule.max)}.`
            : `This takes ${typedNumber(rule.min)} to ${typedNumber(rule.max)}.`,
      };
    }
    return { value: number.value, shown: typedNumber(number.value) };
  };
}

/** As it can be typed again. */
export function typedNumber(value: number): string {
  return String(value).replaceAll('-', MINUS);
}

function withoutUnit(typed: string, unit: string): string {
  const text = typed.trim();
  const isBehind = unit !== '' && text.toLowerCase().endsWith(unit.toLowerCase());
  return isBehind ? text.slice(0, -unit.length) : text;
}

function readNumber(typed: string): { readonly value: number } | { readonly problem: string } {
  const text = typed.replaceAll(/\s/g, '').replaceAll(MINUS, '-');
  if (/^[1-9]\d{0,2},\d{3}$/.test(text)) {
    return {
      problem: `“${typed.trim()}” could mean two numbers. Write it with a point, or without marks between thousands.`,
    };
  }
  if (!/^[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:e[+-]?\d+)?$/i.test(text)) {
    return { problem: `“${typed.trim()}” is not a number that this field takes.` };
  }
  return { value: Number(text.replace(',', '.')) };
}
