import { powerSpectrum } from '../signal/power-spectrum.ts';
import { peakShift } from '../signal/spectral-peak.ts';

/** What followed a tap or a released weight, about the rest that it came to in the end. */
export interface FreeResponse {
  readonly torqueNm: Float64Array;
  readonly sampleRateHz: number;
  /** Standard deviation of the rest before, at this rate. */
  readonly noiseNm: number;
}

export interface Decay {
  readonly frequencyHz: number;
  /** Of the envelope, in 1/s; null where it does not fall evenly, or is gone too soon to be followed. */
  readonly ratePerS: number | null;
  /** False: it stays as high as it is, as mains hum does. */
  readonly isDying: boolean;
}

/** Rest at the beginning of the record that must be there, and at its end, when all has died away. */
const REST_BEFORE_S = 0.25;
const REST_AFTER_S = 0.5;
/** Below, it is no tap (ours): of 300 000 samples of noise the highest reaches some 4.7 standard deviations. */
const LEAST_TAP_NOISES = 8;
/** Rigs of bolts, bars and tools ring below 2 kHz (common practice, no source); more samples tell nothing more. */
const WORKING_RATE_HZ = 8000;
/** A block of the response still holds ringing above this many times the noise, and this share of the highest (ours). */
const ALIVE_NOISES = 3;
const ALIVE_SHARE = 0.01;
/** A line of noise is so much above the median of its neighbours once in 10^9. */
const LEAST_ABOVE_NOISE = 30;
const LEAST_PROMINENCE = 10;
/** A line falls on its lower side too; what only falls with frequency is a slow return, not ringing (ours). */
const LEAST_RISE = 2;
/** The envelope is the height of the line in a window of so many periods, moved on by a quarter of one. */
const WINDOW_PERIODS = 3;
const MOVES_PER_PERIOD = 4;
const ENVELOPE_NOISES = 4;
/** It is followed down to this share, where what is left of the tap and of other lines shows (ours). */
const ENVELOPE_FLOOR = 0.05;
const MOST_UNEVENNESS = 0.25;
const LEAST_FALL = 1.3;

/**
 * The free response in a record: from the sample that is farthest from the rest before, where tap or release are over.
 * Null where nothing left the rest. A record at more than 16 000 Sa/s is averaged down.
 */
export function freeResponse(torqueNm: Float64Array, sampleRateHz: number): FreeResponse | null {
  const together = Math.max(1, Math.floor(sampleRateHz / WORKING_RATE_HZ));
  const values = averaged(torqueNm, together);
  const rateHz = sampleRateHz / together;
  const before = values.subarray(0, Math.max(2, Math.round(REST_BEFORE_S * rateHz)));
  const restNm = meanOf(before);
  const noiseNm = Math.sqrt(
    before.reduce((sum, value) => sum + (value - restNm) ** 2, 0) / (before.length - 1),
  );
  const farthest = values.reduce(
    (best, value, index) =>
      Math.abs(value - restNm) > Math.abs((values[best] ?? 0) - restNm) ? index : best,
    0,
  );
  const farNm = Math.abs((values[farthest] ?? 0) - restNm);
  if (farNm === 0 || farNm < LEAST_TAP_NOISES * noiseNm) return null;
  const levelNm = meanOf(values.subarray(-Math.max(2, Math.round(REST_AFTER_S * rateHz))));
  return { torqueNm: values.slice(farthest).map((value) => value - levelNm), sampleRateHz: rateHz, noiseNm };
}

/**
 * The strongest line of the response in Hz, by the highest peak of its periodogram, interpolated on the logarithm; null
 * where none stands out of the noise and of the band's median.
 *
 * The window is the falling half of a Hann window: a whole one would take away the beginning, where ringing is highest. It
 * is taken of the steps from sample to sample, in which a slow return to rest is small and the beginning is no jump.
 */
export function strongestLineHz(response: FreeResponse): number | null {
  const steps = stepsOf(whileAlive(response));
  const { length } = steps;
  if (length < 8) return null;
  const window = steps.map((_, index) => 0.5 * (1 + Math.cos((Math.PI * index) / length)));
  const padded = 2 ** Math.ceil(Math.log2(4 * length));
  const power = powerSpectrum(
    steps.map((value, index) => value * (window[index] ?? 0)),
    padded,
  );
  const noisePower = response.noiseNm ** 2 * window.reduce((sum, value) => sum + value ** 2, 0);
  const torquePower = power.map((value, bin) => value / stepGain((2 * Math.PI * bin) / padded) ** 2);
  const first = Math.ceil((2 * padded) / length);
  const least = Math.max(
    LEAST_ABOVE_NOISE * Math.LN2 * noisePower,
    LEAST_PROMINENCE * medianOf(torquePower.subarray(first)),
  );
  let best: number | null = null;
  let lowest = Number.POSITIVE_INFINITY;
  for (let bin = 0; bin < power.length - 1; bin += 1) {
    const height = power[bin] ?? 0;
    lowest = Math.min(lowest, height);
    const isPeak = bin >= first && height > (power[bin - 1] ?? 0) && height >= (power[bin + 1] ?? 0);
    const torqueHeight = torquePower[bin] ?? 0;
    const standsOut = torqueHeight > least && height > LEAST_RISE * lowest;
    if (isPeak && standsOut && (best === null || torqueHeight > (torquePower[best] ?? 0))) best = bin;
  }
  return best === null ? null : ((best + peakShift(power, best)) * response.sampleRateHz) / padded;
}

/**
 * How the line at `lineHz` dies away: its height in windows that move along, whose logarithms lie on a straight line, and
 * its frequency from how its phase moves on. Null where the response is shorter than a window.
 *
 * Of a damped sine both are exact but for the window's leakage. Units: Hz, 1/s.
 */
export function followDecay(response: FreeResponse, lineHz: number): Decay | null {
  const heights = lineHeights(response, lineHz);
  const [firstHeight] = heights;
  if (firstHeight === undefined) return null;
  const { frequencyHz } = heights.slice(MOVES_PER_PERIOD).reduce(
    (turn, height, index) => {
      const earlier = heights[index] ?? height;
      const re = turn.re + height.re * earlier.re + height.im * earlier.im;
      const im = turn.im + height.im * earlier.re - height.re * earlier.im;
      const lagS = height.atS - earlier.atS;
      return { re, im, frequencyHz: lineHz + Math.atan2(im, re) / (2 * Math.PI * lagS) };
    },
    { re: 0, im: 0, frequencyHz: lineHz },
  );
  if (heights.length <= MOVES_PER_PERIOD) return { frequencyHz, ratePerS: null, isDying: true };
  const { slope, unevenness } = fallOfLogarithms(heights);
  const spanS = (heights.at(-1)?.atS ?? 0) - firstHeight.atS;
  const isDying = -slope * spanS > Math.log(LEAST_FALL);
  return { frequencyHz, ratePerS: isDying && unevenness <= MOST_UNEVENNESS ? -slope : null, isDying };
}

interface LineHeight {
  readonly atS: number;
  readonly re: number;
  readonly im: number;
}

/** Hann-weighted sums of the steps at the line's frequency, window after window, while they stand out. */
function lineHeights({ torqueNm, sampleRateHz, noiseNm }: FreeResponse, lineHz: number): LineHeight[] {
  const steps = stepsOf(torqueNm);
  const length = Math.round((WINDOW_PERIODS * sampleRateHz) / lineHz);
  const move = Math.max(1, Math.round(sampleRateHz / lineHz / MOVES_PER_PERIOD));
  const turn = (2 * Math.PI * lineHz) / sampleRateHz;
  const window = Float64Array.from(
    { length },
    (_, index) => 0.5 * (1 - Math.cos((2 * Math.PI * (index + 0.5)) / length)),
  );
  const noise = noiseNm * stepGain(turn) * Math.sqrt(window.reduce((sum, value) => sum + value ** 2, 0));
  const heights: LineHeight[] = [];
  let floor = ENVELOPE_NOISES * noise;
  for (let from = 0; from + length <= steps.length; from += move) {
    let [re, im] = [0, 0];
    for (let index = 0; index < length; index += 1) {
      const value = (steps[from + index] ?? 0) * (window[index] ?? 0);
      re += value * Math.cos(turn * (from + index));
      im -= value * Math.sin(turn * (from + index));
    }
    const height = Math.hypot(re, im);
    if (height <= floor) break;
    if (heights.length === 0) floor = Math.max(floor, ENVELOPE_FLOOR * height);
    heights.push({ atS: from / sampleRateHz, re, im });
  }
  return heights;
}

/** Straight line through the logarithms, each with the weight that noise leaves it: the square of its height. */
function fallOfLogarithms(heights: readonly LineHeight[]): { slope: number; unevenness: number } {
  const points = heights.map(({ atS, re, im }) => {
    const weight = re ** 2 + im ** 2;
    return { atS, weight, log: Math.log(weight) / 2 };
  });
  const total = points.reduce((sum, { weight }) => sum + weight, 0);
  const meanS = points.reduce((sum, { weight, atS }) => sum + weight * atS, 0) / total;
  const meanLog = points.reduce((sum, { weight, log }) => sum + weight * log, 0) / total;
  const products = points.reduce(
    (sum, { weight, atS, log }) => sum + weight * (atS - meanS) * (log - meanLog),
    0,
  );
  const squares = points.reduce((sum, { weight, atS }) => sum + weight * (atS - meanS) ** 2, 0);
  const slope = products / squares;
  const residues = points.reduce(
    (sum, { atS, log }) => sum + (log - meanLog - slope * (atS - meanS)) ** 2,
    0,
  );
  return { slope, unevenness: Math.sqrt(residues / points.length) };
}

/** The response up to the last block that stands out of the noise, and a quarter more. */
function whileAlive({ torqueNm, sampleRateHz, noiseNm }: FreeResponse): Float64Array {
  const block = Math.max(4, Math.round(0.005 * sampleRateHz));
  const blocks = Array.from({ length: Math.ceil(torqueNm.length / block) }, (_, index) => {
    const values = torqueNm.subarray(index * block, (index + 1) * block);
    return Math.sqrt(values.reduce((sum, value) => sum + value ** 2, 0) / values.length);
  });
  const highest = blocks.reduce((most, value) => Math.max(most, value), 0);
  const floor = Math.max(ALIVE_NOISES * noiseNm, ALIVE_SHARE * highest);
  const last = blocks.findLastIndex((value) => value > floor);
  return torqueNm.slice(0, Math.ceil(1.25 * (last + 1) * block));
}

function stepsOf(values: Float64Array): Float64Array {
  return values.subarray(1).map((value, index) => value - (values[index] ?? 0));
}

/** How much of an oscillation shows in its steps from sample to sample; `turn` in radians a sample. */
function stepGain(turn: number): number {
  return 2 * Math.abs(Math.sin(turn / 2));
}

function averaged(values: Float64Array, together: number): Float64Array {
  if (together === 1) return values;
  return Float64Array.from({ length: Math.floor(values.length / together) }, (_, index) =>
    meanOf(values.subarray(index * together, (index + 1) * together)),
  );
}

function meanOf(values: Float64Array): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

function medianOf(values: Float64Array): number {
  return values.slice().sort()[Math.floor(values.length / 2)] ?? 0;
}
