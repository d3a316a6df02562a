/**
 * A noise-free torque over time in closed form, zero before 0 and after `endS`.
 *
 * The integral is there because a converter does not look at an instant: a sample is the mean over its period.
 */
export interface TorqueCurve {
  readonly endS: number;
  torqueNm(atS: number): number;
  /** Integral from 0 to `atS`. */
  impulseNmS(atS: number): number;
}
