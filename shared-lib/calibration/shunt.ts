import { AppError } from '../app-error.ts';

/**
 * A resistor across one arm of a bridge of four equal arms: exact, without the usual small-signal approximation. Leads, and
 * resistors inside the transducer that complete or trim the bridge, are not in it.
 * Source: tests/fixtures/reference-values/shunt-calibration.json (published tables).
 */
export interface ShuntedBridge {
  /** Of each arm. */
  readonly bridgeOhm: number;
  readonly shuntOhm: number;
}

const MILLIVOLTS = 1000;

/** Output in mV/V: R / (4 Rs + 2 R). Errors: AppError 'input-out-of-range' for resistances that are not positive. */
export function shuntOutputMvPerV({ bridgeOhm, shuntOhm }: ShuntedBridge): number {
  requirePositive('resistance of the bridge', bridgeOhm, 'Ω');
  requirePositive('resistance of the shunt', shuntOhm, 'Ω');
  return (MILLIVOLTS * bridgeOhm) / (4 * shuntOhm + 2 * bridgeOhm);
}

/**
 * The shunt in ohm that gives an output: R (1 / (4 v) - 1/2), v in V/V.
 * Errors: AppError 'input-out-of-range' for values that are not positive, or from 500 mV/V on, which no shunt gives.
 */
export function shuntForOutputOhm(bridgeOhm: number, outputMvPerV: number): number {
  requirePositive('resistance of the bridge', bridgeOhm, 'Ω');
  requirePositive('output of the bridge', outputMvPerV, 'mV/V');
  const shuntOhm = bridgeOhm * (MILLIVOLTS / (4 * outputMvPerV) - 0.5);
  if (shuntOhm > 0) return shuntOhm;
  throw new AppError(
    'input-out-of-range',
    `No shunt gives ${outputMvPerV} mV/V: one across a single arm stays under 500 mV/V. Correct the output.`,
  );
}

function requirePositive(what: string, value: number, unit: string): void {
  if (value > 0 && Number.isFinite(value)) return;
  throw new AppError(
    'input-out-of-range',
    `The ${what} must be greater than 0 ${unit}; ${value} is not. Nothing was computed; correct the entry.`,
  );
}
