import { formatSignificant, significantDecimals } from '../../shared-lib/format-significant.ts';
import {
  formatNumber,
  fromOwnUnit,
  parseQuantity,
  type QuantityKind,
  THIN_SPACE,
  unitLabel,
  type UnitOf,
} from '../../shared-lib/format-quantity.ts';
import type { QuantityReading } from './QuantityField.tsx';

export interface QuantityRule<Kind extends QuantityKind> {
  readonly kind: Kind;
  /** Taken where no unit was typed, and the one that the converted value and the range are shown in. */
  readonly unit: UnitOf<Kind>;
  /** In the program's own unit of the kind. */
  readonly min: number;
  readonly max: number;
  /** For what cannot be zero, such as a length. */
  readonly isMinExcluded?: boolean;
}

/** Makes the `parse` of a `QuantityField` from what a field takes. */
export function quantityReader<Kind extends QuantityKind>(
  rule: QuantityRule<Kind>,
): (typed: string) => QuantityReading {
  return (typed) => {
    const parsed = parseQuantity(typed, rule.kind, rule.unit);
    if ('problem' in parsed) return parsed;
    const isAbove = rule.isMinExcluded === true ? parsed.value > rule.min : parsed.value >= rule.min;
    if (!isAbove || parsed.value > rule.max) return { problem: rangeSentence(rule) };
    return { value: parsed.value, shown: formatSignificant(parsed.value, rule.unit) };
  };
}

/** The value of a typed quantity; null where the field is empty or holds what cannot be taken. */
export function valueOf(reading: QuantityReading): number | null {
  return 'value' in reading ? reading.value : null;
}

function rangeSentence<Kind extends QuantityKind>(rule: QuantityRule<Kind>): string {
  const max = formatSignificant(rule.max, rule.unit);
  const shownMin = fromOwnUnit(rule.min, rule.unit);
  const min = formatNumber(shownMin, significantDecimals(shownMin));
  const minWithUnit = `${min}${rule.kind === 'angle' ? '' : THIN_SPACE}${unitLabel(rule.unit)}`;
  return rule.isMinExcluded === true
    ? `This takes more than ${minWithUnit}, up to ${max}.`
    : `This takes ${minWithUnit} to ${max}.`;
}
