import { formatDuration, formatNumber, fromOwnUnit, THIN_SPACE } from '../../format-quantity.ts';
import type { TorqueDisplay } from '../../torque-display.ts';

/** How a kind of figure is written: with its unit for people, and as a bare number for a spreadsheet. */
export interface ShownQuantity {
  readonly unit: string;
  readonly decimals: number;
  /** From the program's own unit to the shown one. */
  readonly toShown: (value: number) => number;
  /** "412.3 N·m" */
  readonly format: (value: number) => string;
}

export function plainQuantity(
  unit: string,
  decimals: number,
  toShown: (value: number) => number = (value) => value,
): ShownQuantity {
  return {
    unit,
    decimals,
    toShown,
    format: (value) => `${formatNumber(toShown(value), decimals)}${THIN_SPACE}${unit}`,
  };
}

/** The quantities of the figures of a trial, torque in the chosen unit. */
export function shownQuantities({ unit, unitLabel, decimals }: TorqueUnitDisplay) {
  const inUnit = (value: number) => fromOwnUnit(value, unit);
  return {
    torque: plainQuantity(unitLabel, decimals, inUnit),
    seconds: { ...plainQuantity('s', 2), format: (timeS: number) => formatDuration(timeS, 2) },
    percent: plainQuantity('%', 1),
    percentPerS: plainQuantity('%/s', 2),
    percentPerMin: plainQuantity('%/min', 2),
    impulse: plainQuantity(`${unitLabel}·s`, decimals, inUnit),
    rise: plainQuantity(`${unitLabel}/s`, decimals, inUnit),
    hertz: plainQuantity('Hz', 1),
  } as const satisfies Record<string, ShownQuantity>;
}
export type ShownQuantities = ReturnType<typeof shownQuantities>;
export type TorqueUnitDisplay = Pick<TorqueDisplay, 'unit' | 'unitLabel' | 'decimals'>;

/** An uncertainty is told to one more digit than the figure that it belongs to. */
export function finer(quantity: ShownQuantity): ShownQuantity {
  return plainQuantity(quantity.unit, quantity.decimals + 1, quantity.toShown);
}
