import { formatNumber } from '../../shared-lib/format-quantity.ts';
import type { QuantityReading } from './QuantityField.tsx';

/** Makes the `parse` of a field for whole numbers. A power may be typed too: moduli are known as "2^16". */
export function wholeNumberReader(
  min: number,
  max: number,
  unit: string | null,
): (typed: string) => QuantityReading {
  return (typed) => {
    const value = readWhole(typed.replace(/\s/g, ''));
    if (!(value >= min && value <= max)) {
      return {
        problem: `This takes a whole number from ${formatNumber(min, 0)} to ${formatNumber(max, 0)}.`,
      };
    }
    return { value, shown: unit === null ? formatNumber(value, 0) : `${formatNumber(value, 0)} ${unit}` };
  };
}

function readWhole(text: string): number {
  if (/^\d+$/.test(text)) return Number(text);
  const power = /^(\d{1,4})\^(\d{1,2})$/.exec(text);
  return power === null ? NaN : Number(power[1]) ** Number(power[2]);
}
