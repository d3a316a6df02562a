import { formatDuration, formatNumber, formatRate, THIN_SPACE } from '../format-quantity.ts';
import { powerSpectrum } from '../signal/power-spectrum.ts';
import { peakShift } from '../signal/spectral-peak.ts';
import { median } from '../signal/order-statistics.ts';
import { refusedForLength, refusedForRecord, refusedForStop } from './refuse-measure.ts';
import type { Measure } from './trial-model.ts';
import { indicesBetween, recordedAfterOnsetS, type TrialRun } from './trial-run.ts';

const WINDOW_S = 2;
/** Blows of impact tools (common practice, no source). */
const BAND_HZ = { from: 10, to: 80 } as const;
/** At less, faster blows and ringing show as slower ones. */
const UNFILTERED_RATE_HZ = 320;
/** So near to half the rate a line and its alias run into each other (ours). */
const BAND_EDGE_SHARE = 0.45;
/** Samples are averaged down to no less than this rate: what swings under 80 Hz keeps 99.7 % of its height. */
const WORKING_RATE_HZ = 2000;
const LEAST_ABOVE_MEDIAN = 20;
/** A line at a half, a third or a quarter of the highest one's frequency with this share of its power is the blows' own (ours). */
const FUNDAMENTAL_SHARE = 0.1;
/** Of a Hann-weighted line, in lines of the periodogram without padding. */
const LINE_HALF_WIDTH = 2;
const MOST_LOST_SHARE = 0.05;
const WHAT = 'Blow rate';

/**
 * Blow rate: the highest line, between 10 and 80 Hz, of the Hann-weighted periodogram of the raw curve in the last 2 s of the
 * planned time, in Hz; its top is taken from the parabola through the logarithms of three neighbours.
 *
 * Where a half, a third or a quarter of its frequency has a line too, with at least a tenth of its power, the lowest of them
 * is the rate: a rig that rings gives a multiple of it the higher line. A line must be at least 20 times the band's median:
 * ten times it, white noise alone has in one run of six, twenty times in one of six hundred (simulated).
 *
 * Only from 320 Sa/s, or with an anti-alias bandwidth of at most half the rate; else a faster swing could show as a slower
 * one: 65 Hz at 80 Sa/s as 15 Hz. Refused too: a planned time under 2 s, a record that ends earlier, a torque that fell away
 * early, and more than 5 % of the samples lost (those that are lost add nothing to the sums).
 *
 * No standard error: the unsteadiness of the blows and not noise decides how sharp the line is. 2 s tell lines 1 Hz apart.
 */
export function blowRateHz(
  run: TrialRun,
  antiAliasBandwidthHz: number | null,
  earlyStopS: number | null,
): Measure {
  const isAliasRuledOut = antiAliasBandwidthHz !== null && antiAliasBandwidthHz <= run.nominalRateHz / 2;
  const highestHz = Math.min(BAND_HZ.to, BAND_EDGE_SHARE * run.nominalRateHz);
  if (run.nominalRateHz < UNFILTERED_RATE_HZ && !(isAliasRuledOut && highestHz > BAND_HZ.from)) {
    return {
      refused:
        `Blow rate is not resolvable: it needs ${formatRate(UNFILTERED_RATE_HZ)}, or an amplifier whose anti-alias bandwidth is ` +
        `known and at most half the rate; this trial has ${formatRate(run.nominalRateHz)}, at which a faster swing can show as a slower one.`,
    };
  }
  if (run.plannedS < WINDOW_S) return refusedForLength(WHAT, WINDOW_S, run);
  if (recordedAfterOnsetS(run) < run.plannedS) return refusedForRecord(WHAT, run);
  if (earlyStopS !== null) return refusedForStop(WHAT, earlyStopS);
  return strongestBlowLine(run, highestHz);
}

function strongestBlowLine(run: TrialRun, highestHz: number): Measure {
  const { first, end } = indicesBetween(run, run.plannedS - WINDOW_S, run.plannedS);
  const values = run.rawNm.subarray(first, end);
  const lostShare = values.reduce((lost, value) => lost + Number(Number.isNaN(value)), 0) / values.length;
  if (lostShare > MOST_LOST_SHARE) {
    return {
      refused: `Blow rate is not resolvable: ${percent(lostShare)} of the samples in the last ${formatDuration(WINDOW_S, 0)} are lost, more than ${percent(MOST_LOST_SHARE)}.`,
    };
  }
  const together = Math.max(1, Math.floor(run.sampleRateHz / WORKING_RATE_HZ));
  const weighted = hannWeighted(withoutLine(averaged(values, together)));
  const length = 2 ** Math.ceil(Math.log2(4 * weighted.length));
  const power = powerSpectrum(weighted, length);
  const binHz = run.sampleRateHz / together / length;
  const firstBin = Math.ceil(BAND_HZ.from / binHz);
  const lastBin = Math.floor(highestHz / binHz);
  const medianPower = median(power.subarray(firstBin, lastBin + 1));
  // The least power of a line: a curve without any swing has rounding errors only.
  const leastPower = Math.max(LEAST_ABOVE_MEDIAN * medianPower, roundingPower(values, weighted.length));
  const width = length / weighted.length;
  const peaks = peaksBetween(power, firstBin, lastBin, Math.round(LINE_HALF_WIDTH * width)).filter(
    (bin) => (power[bin] ?? 0) > leastPower,
  );
  const highest = peaks.reduce<number | null>(
    (best, bin) => (best === null || (power[bin] ?? 0) > (power[best] ?? 0) ? bin : best),
    null,
  );
  if (highest === null) {
    return {
      refused: `Blow rate is not resolvable: no line between ${hertz(BAND_HZ.from)} and ${hertz(highestHz)} stands out of the last ${formatDuration(WINDOW_S, 0)}.`,
    };
  }
  const bin = fundamentalOf(highest, peaks, power, width);
  return { value: (bin + peakShift(power, bin)) * binHz };
}

/** The lowest peak that the highest one is a multiple of, or that itself. `width`: bins of one unpadded line. */
function fundamentalOf(
  highest: number,
  peaks: readonly number[],
  power: Float64Array,
  width: number,
): number {
  const least = FUNDAMENTAL_SHARE * (power[highest] ?? 0);
  const isFundamental = (bin: number): boolean =>
    (power[bin] ?? 0) >= least &&
    [2, 3, 4].some((multiple) => Math.abs(bin - highest / multiple) <= width / 2);
  return peaks.find(isFundamental) ?? highest;
}

/**
 * Bins that are the highest as far as a line reaches to either side, in rising order; a slow swing outside of the band has
 * side lobes in it, each of them lower than the one before.
 */
function peaksBetween(power: Float64Array, firstBin: number, lastBin: number, halfWidth: number): number[] {
  const peaks: number[] = [];
  for (let bin = firstBin; bin <= lastBin; bin += 1) {
    const around = power.subarray(Math.max(0, bin - halfWidth), bin + halfWidth + 1);
    if (around.every((height) => height <= (power[bin] ?? 0))) peaks.push(bin);
  }
  return peaks;
}

/** Means of what arrived of `together` neighbours; NaN where nothing did. */
function averaged(values: Float64Array, together: number): Float64Array {
  return Float64Array.from({ length: Math.floor(values.length / together) }, (_, index) => {
    let [sum, count] = [0, 0];
    for (let i = index * together; i < (index + 1) * together; i += 1) {
      const value = values[i] ?? Number.NaN;
      if (Number.isNaN(value)) continue;
      sum += value;
      count += 1;
    }
    return sum / count;
  });
}

/** What is left of the values about their straight line, whose slow change would leak into the band; 0 for NaN. */
function withoutLine(values: Float64Array): Float64Array {
  let [n, sumX, sumY, sumXx, sumXy] = [0, 0, 0, 0, 0];
  values.forEach((value, index) => {
    if (Number.isNaN(value)) return;
    n += 1;
    sumX += index;
    sumY += value;
    sumXx += index ** 2;
    sumXy += index * value;
  });
  const slope = (n * sumXy - sumX * sumY) / (n * sumXx - sumX ** 2);
  const start = (sumY - slope * sumX) / n;
  return values.map((value, index) => (Number.isNaN(value) ? 0 : value - start - slope * index));
}

function hannWeighted(values: Float64Array): Float64Array {
  return values.map(
    (value, index) => value * 0.5 * (1 - Math.cos((2 * Math.PI * (index + 0.5)) / values.length)),
  );
}

/** Power of a swing of a millionth of the greatest value. */
function roundingPower(values: Float64Array, count: number): number {
  const greatest = values.reduce((most, value) => (Math.abs(value) > most ? Math.abs(value) : most), 0);
  return (1e-6 * greatest * count) ** 2;
}

function hertz(value: number): string {
  return `${formatNumber(value, 0)}${THIN_SPACE}Hz`;
}

function percent(share: number): string {
  return `${formatNumber(100 * share, 1)}${THIN_SPACE}%`;
}
