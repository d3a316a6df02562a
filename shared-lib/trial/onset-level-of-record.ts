import { measuringCurve, measuringWindowSamples } from '../signal/measuring-curve.ts';
import { findOnset, onsetLevelNm } from './find-onset.ts';

export interface OnsetLevel {
  readonly levelNm: number;
  /** Standard deviation of the measuring curve about its straight line before the torque begins; null: there was too little. */
  readonly noiseNm: number | null;
  /** Without a capacity the highest value of the measuring curve stands in for it. */
  readonly isCapacityKnown: boolean;
}

const CAPACITY_SHARE = 0.01;
/** Where the search for the rest begins: under this share of the highest value. */
const FIRST_SHARE = 0.5;
const MOST_ROUNDS = 20;
/** The noise is taken from at most so much of the record's beginning. */
const NOISE_S = 1;
const LEAST_SAMPLES = 10;

/**
 * The level of onset for a record that brings its own rest and no bench: the greater of 1 % of the capacity and five times the
 * noise of the measuring curve before the torque begins, in N m. Without a capacity 1 % of the curve's highest value stands in.
 *
 * The noise is taken of at most the first second that lies a whole measuring window before the curve passes a level, about
 * its straight line, so that a slow beginning is not taken for noise. That level is half of the highest value at first (1 % of
 * the capacity where that is more), then what the noise before it makes of it, as long as that is less: a rest that swings
 * beyond 1 % of the capacity is found too.
 *
 * `rawNm` positive in the direction of the step. Under 36 Sa/s, where there is no measuring curve, the samples stand for it
 * and the noise is not known. Null where neither capacity nor curve exceed zero.
 */
export function onsetLevelOfRecord(
  rawNm: Float64Array,
  nominalRateHz: number,
  capacityNm: number | null,
): OnsetLevel | null {
  const windowSamples = measuringWindowSamples(nominalRateHz);
  const curve = windowSamples === null ? rawNm : measuringCurve(rawNm, windowSamples);
  const highestNm = curve.reduce((highest, value) => (value > highest ? value : highest), 0);
  const fullScaleNm = capacityNm ?? highestNm;
  if (!(fullScaleNm > 0)) return null;
  if (windowSamples === null) {
    return { levelNm: onsetLevelNm(fullScaleNm, 0), noiseNm: null, isCapacityKnown: capacityNm !== null };
  }
  let levelNm = Math.max(CAPACITY_SHARE * fullScaleNm, FIRST_SHARE * highestNm);
  let noiseNm: number | null = null;
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    noiseNm = scatterAboutLine(restBefore(curve, levelNm, nominalRateHz, windowSamples));
    const nextNm = onsetLevelNm(fullScaleNm, noiseNm ?? 0);
    if (!(nextNm < levelNm)) break;
    levelNm = nextNm;
  }
  return {
    levelNm: onsetLevelNm(fullScaleNm, noiseNm ?? 0),
    noiseNm,
    isCapacityKnown: capacityNm !== null,
  };
}

function restBefore(
  curve: Float64Array,
  levelNm: number,
  nominalRateHz: number,
  windowSamples: number,
): Float64Array {
  const start = findOnset(curve, levelNm, nominalRateHz) ?? curve.length;
  const end = Math.min(Math.floor(start) - windowSamples, Math.round(NOISE_S * nominalRateHz));
  return curve.subarray(0, Math.max(0, end));
}

function scatterAboutLine(values: Float64Array): number | null {
  const present = [...values].flatMap((y, x) => (Number.isNaN(y) ? [] : [{ x, y }]));
  const n = present.length;
  if (n < LEAST_SAMPLES) return null;
  const meanX = present.reduce((sum, { x }) => sum + x, 0) / n;
  const meanY = present.reduce((sum, { y }) => sum + y, 0) / n;
  const slope =
    present.reduce((sum, { x, y }) => sum + (x - meanX) * (y - meanY), 0) /
    present.reduce((sum, { x }) => sum + (x - meanX) ** 2, 0);
  const squares = present.reduce((sum, { x, y }) => sum + (y - meanY - slope * (x - meanX)) ** 2, 0);
  return Math.sqrt(squares / (n - 2));
}
