import { formatNumber, THIN_SPACE } from '../format-quantity.ts';

export interface RingingResponse {
  /** From rest to rest again, zero taken off. */
  readonly torqueNm: Float64Array;
  readonly sampleRateHz: number;
  /** Above it the amplifier lets nothing through; null: not known. */
  readonly antiAliasHz: number | null;
}

export interface RingingAnalysis {
  /** Null where none stands out, or the rate cannot tell it from an alias. */
  readonly frequencyHz: number | null;
  /** Of critical damping. */
  readonly dampingRatio: number | null;
  /** Until the ringing has fallen to 1/e. */
  readonly decayS: number | null;
  readonly sentences: string[];
  readonly refusedMeasures: string[];
}

/** Fewer samples a period and the shape of the ringing is lost (ours). */
const LEAST_SAMPLES_PER_PERIOD = 4;
/** A line has to stand so far above the median power (ours): the highest of 2000 lines of noise alone reaches some 11. */
const LEAST_PROMINENCE = 30;
const LONGEST_S = 2;
/** Free ringing begins once the tap itself is over (ours). */
const AFTER_PEAK_S = 0.005;
/** The envelope is followed down to this share of its beginning (ours). */
const ENVELOPE_FLOOR = 0.05;
const LEAST_PEAKS = 3;
const SPECTRUM_POINTS = 4096;
/** Blows of impact tools (common practice, no source). */
const BLOW_BAND_HZ = { from: 10, to: 80 } as const;
const BLOW_RATE_NEEDS_HZ = 320;
const STATIC = 'Static calibration; dynamic error not included.';

/**
 * How the rig answers a tap or a released weight: frequency from the highest line of a Hann periodogram of what follows the
 * peak, interpolated on the logarithm; damping from the straight line through the logarithms of successive peaks.
 *
 * Shape: at least a few periods after the peak. Units: N m, Hz, s. Source: logarithmic decrement (textbooks, from memory);
 * checked against damped sines of known frequency and damping.
 */
export function analyseRinging({ torqueNm, sampleRateHz, antiAliasHz }: RingingResponse): RingingAnalysis {
  const free = freeResponse(torqueNm, sampleRateHz);
  const line = strongestLine(free, sampleRateHz);
  const highestHz = sampleRateHz / LEAST_SAMPLES_PER_PERIOD;
  const isAliasRuledOut = antiAliasHz !== null && antiAliasHz <= sampleRateHz / 2;
  const frequencyHz = line !== null && (line <= highestHz || isAliasRuledOut) ? line : null;
  const decay = frequencyHz === null ? null : decayRate(free, sampleRateHz, frequencyHz);
  const refusedMeasures = refusals(sampleRateHz, antiAliasHz, frequencyHz);
  return {
    frequencyHz,
    dampingRatio: decay === null || frequencyHz === null ? null : dampingRatioOf(decay, frequencyHz),
    decayS: decay === null ? null : 1 / decay,
    sentences: [
      describeRinging(line, frequencyHz, decay, sampleRateHz),
      describeReach(sampleRateHz, antiAliasHz, frequencyHz),
      ...(refusedMeasures.length === 0 ? [] : [`Refused because of it: ${refusedMeasures.join('; ')}.`]),
      STATIC,
    ],
    refusedMeasures,
  };
}

/** What follows the peak, about its own mean. */
function freeResponse(torqueNm: Float64Array, sampleRateHz: number): Float64Array {
  const peak = torqueNm.reduce(
    (best, value, index) => (Math.abs(value) > Math.abs(torqueNm[best] ?? 0) ? index : best),
    0,
  );
  const from = peak + Math.round(AFTER_PEAK_S * sampleRateHz);
  const free = torqueNm.slice(from, from + Math.round(LONGEST_S * sampleRateHz));
  // The end is at rest, wherever the weight that was let go left it.
  const rest = free.slice(Math.floor(free.length * 0.75));
  const level = rest.reduce((sum, value) => sum + value, 0) / rest.length;
  return free.map((value) => value - level);
}

/** Frequency of the line that stands out, or null. */
function strongestLine(free: Float64Array, sampleRateHz: number): number | null {
  const length = Math.min(free.length, SPECTRUM_POINTS);
  if (length < 32) return null;
  const power = hannPeriodogram(free.slice(0, length));
  // The two lowest bins hold what is left of the level.
  const first = 2;
  let best = first;
  for (let bin = first; bin < power.length; bin += 1) {
    if ((power[bin] ?? 0) > (power[best] ?? 0)) best = bin;
  }
  const sorted = power.slice(first).sort();
  const median = sorted[Math.floor(sorted.length / 2)] ?? 0;
  const height = power[best] ?? 0;
  if (!(height > LEAST_PROMINENCE * median) || height === 0) return null;
  const [left, right] = [power[best - 1] ?? 0, power[best + 1] ?? 0];
  const [a, b, c] = [Math.log(left), Math.log(height), Math.log(right)];
  const curvature = a - 2 * b + c;
  const shift = Number.isFinite(curvature) && curvature !== 0 ? (a - c) / (2 * curvature) : 0;
  return ((best + shift) * sampleRateHz) / length;
}

/** Power of each bin from 0 up to half the rate, by Goertzel's recursion: the record is short. */
function hannPeriodogram(values: Float64Array): Float64Array {
  const { length } = values;
  const windowed = values.map((value, index) => value * 0.5 * (1 - Math.cos((2 * Math.PI * index) / length)));
  return Float64Array.from({ length: Math.floor(length / 2) + 1 }, (_, bin) => {
    const coefficient = 2 * Math.cos((2 * Math.PI * bin) / length);
    let [before, last] = [0, 0];
    for (const value of windowed) [before, last] = [last, value + coefficient * last - before];
    return last ** 2 + before ** 2 - coefficient * last * before;
  });
}

/** Of the envelope, in 1/s; null where there are too few peaks to tell, or they do not fall. */
function decayRate(free: Float64Array, sampleRateHz: number, frequencyHz: number): number | null {
  const peaks = envelopePeaks(free, sampleRateHz, frequencyHz);
  const [first] = peaks;
  if (first === undefined || peaks.length < LEAST_PEAKS) return null;
  const n = peaks.length;
  const meanS = peaks.reduce((sum, { atS }) => sum + atS, 0) / n;
  const logs = peaks.map(({ height }) => Math.log(height));
  const meanLog = logs.reduce((sum, value) => sum + value, 0) / n;
  const products = peaks.reduce(
    (sum, { atS }, index) => sum + (atS - meanS) * ((logs[index] ?? 0) - meanLog),
    0,
  );
  const squares = peaks.reduce((sum, { atS }) => sum + (atS - meanS) ** 2, 0);
  const rate = -products / squares;
  return rate > 0 ? rate : null;
}

/** The greatest magnitude of each half period, as long as it falls and stands out of the noise. */
function envelopePeaks(
  free: Float64Array,
  sampleRateHz: number,
  frequencyHz: number,
): { atS: number; height: number }[] {
  const half = Math.max(2, Math.round(sampleRateHz / frequencyHz / 2));
  const rest = free.slice(Math.floor(free.length * 0.9));
  const noise = Math.max(0, ...rest.map(Math.abs));
  const peaks: { atS: number; height: number }[] = [];
  for (let from = 0; from + half <= free.length; from += half) {
    let best = from;
    for (let index = from; index < from + half; index += 1) {
      if (Math.abs(free[index] ?? 0) > Math.abs(free[best] ?? 0)) best = index;
    }
    const height = Math.abs(free[best] ?? 0);
    const highest = peaks[0]?.height ?? height;
    if (height < ENVELOPE_FLOOR * highest || height < 3 * noise) break;
    peaks.push({ atS: best / sampleRateHz, height });
  }
  return peaks;
}

/** zeta from decay sigma and the damped frequency: sigma = zeta w0, wd = w0 sqrt(1 - zeta^2). */
function dampingRatioOf(decayPerS: number, frequencyHz: number): number {
  return decayPerS / Math.hypot(decayPerS, 2 * Math.PI * frequencyHz);
}

function describeRinging(
  line: number | null,
  frequencyHz: number | null,
  decayPerS: number | null,
  sampleRateHz: number,
): string {
  const hz = (value: number): string => `${formatNumber(value, value < 100 ? 1 : 0)}${THIN_SPACE}Hz`;
  if (line === null)
    return 'No ringing stands out of what followed the tap: the rig is well damped, or the tap too weak. Tap harder to be sure.';
  if (frequencyHz === null) {
    return `Something rings near ${hz(line)}, but at ${formatNumber(sampleRateHz, 0)}${THIN_SPACE}Sa/s that may as well be an alias of a higher frequency. Sample at ${formatNumber(Math.ceil((4 * LEAST_SAMPLES_PER_PERIOD * line) / 100) * 100, 0)}${THIN_SPACE}Sa/s or more to tell.`;
  }
  const fall =
    decayPerS === null
      ? 'how fast it dies away could not be told'
      : `it falls to a third in ${formatNumber(1.1 / decayPerS, 3)}${THIN_SPACE}s`;
  return `The rig rings at ${hz(frequencyHz)}; ${fall}.`;
}

function describeReach(sampleRateHz: number, antiAliasHz: number | null, frequencyHz: number | null): string {
  const bandwidthHz = Math.min(antiAliasHz ?? sampleRateHz / 2, sampleRateHz / 2);
  const shortestMs = 1000 / (2 * Math.min(bandwidthHz, frequencyHz ?? bandwidthHz));
  return `Changes quicker than some ${formatNumber(shortestMs, 1)}${THIN_SPACE}ms are not followed by rig, amplifier and sample rate together; the anti-alias bandwidth is ${antiAliasHz === null ? 'not known' : `${formatNumber(antiAliasHz, 0)}${THIN_SPACE}Hz`}.`;
}

function refusals(sampleRateHz: number, antiAliasHz: number | null, frequencyHz: number | null): string[] {
  const refused = ['the highest reading, as a torque of the tool: it holds the ringing of the rig too'];
  const isBlowRateResolved = sampleRateHz >= BLOW_RATE_NEEDS_HZ || antiAliasHz !== null;
  const isInBlowBand =
    frequencyHz !== null && frequencyHz >= BLOW_BAND_HZ.from && frequencyHz <= BLOW_BAND_HZ.to;
  if (!isBlowRateResolved) {
    refused.push(`the blow rate: it needs ${BLOW_RATE_NEEDS_HZ} Sa/s or a known anti-alias bandwidth`);
  } else if (isInBlowBand) {
    refused.push('the blow rate: the rig itself rings among the rates of blows');
  }
  return refused;
}
