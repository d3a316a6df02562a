import type { CountBin } from './fold-count-bins.ts';

/** A dwell is judged by the means of its tenths: noise is averaged away, swinging and creeping are not. */
export const TENTHS = 10;
/**
 * White noise of standard deviation s per mean spreads ten means by more than 6 s in one of a thousand dwells (range of ten
 * normal values, from memory); their least-squares drift over the dwell exceeds 4 standard errors hardly ever.
 */
const SPREAD_PER_NOISE = 6;
const DRIFT_PER_STANDARD_ERROR = 4;
/** A count of rounding stays even where there is no noise at all. */
const ROUNDING_COUNTS = 1;

/** What means may spread and drift over a dwell beyond what noise explains. */
export interface Allowance {
  readonly spreadCounts: number;
  readonly driftCounts: number;
}

/** Figures over the newest means that were joined, at most a dwell of them. */
export interface SteadyWindow {
  readonly meanCounts: number;
  /** Of the means of tenths. */
  readonly standardDeviationCounts: number;
  readonly spreadCounts: number;
  readonly driftCountsPerS: number;
  readonly sampleCount: number;
  readonly durationS: number;
  readonly isSpreadWithin: boolean;
  readonly isDriftWithin: boolean;
  /** What spread and drift over the window might be, with the noise that is in it. */
  readonly spreadLimitCounts: number;
  readonly driftLimitCounts: number;
}

/** So far apart that the load has changed in between. */
export function isJump(before: CountBin, after: CountBin, allowedCounts: number): boolean {
  const noise = Math.min(noisePerMean(before), noisePerMean(after));
  return (
    Math.abs(after.meanCounts - before.meanCounts) >
    SPREAD_PER_NOISE * noise + ROUNDING_COUNTS + allowedCounts
  );
}

/** `bins`: at least one; `binsPerTenth` of them make a tenth, counted from the newest back. */
export function judgeWindow(
  bins: readonly CountBin[],
  binsPerTenth: number,
  binS: number,
  allowed: Allowance,
): SteadyWindow {
  const tenths = joinTenths(bins, binsPerTenth);
  const means = tenths.map(({ meanCounts }) => meanCounts);
  const sampleCount = tenths.reduce((sum, tenth) => sum + tenth.sampleCount, 0);
  const meanCounts = means.reduce((sum, value) => sum + value, 0) / means.length;
  const squares = means.reduce((sum, value) => sum + (value - meanCounts) ** 2, 0);
  const noise = median(tenths.map(noisePerMean));
  const spreadCounts = Math.max(...means) - Math.min(...means);
  const driftPerTenth = slopePerStep(means);
  // Variance of a least-squares slope over n equidistant means: 12 s^2 / (n (n^2 - 1)).
  const driftError = means.length < 2 ? 0 : noise * Math.sqrt((12 * means.length) / (means.length ** 2 - 1));
  const spreadLimitCounts = SPREAD_PER_NOISE * noise + ROUNDING_COUNTS + allowed.spreadCounts;
  const driftLimitCounts = DRIFT_PER_STANDARD_ERROR * driftError + ROUNDING_COUNTS + allowed.driftCounts;
  const tenthS = Math.min(binsPerTenth, bins.length) * binS;
  return {
    meanCounts,
    standardDeviationCounts: means.length < 2 ? 0 : Math.sqrt(squares / (means.length - 1)),
    spreadCounts,
    driftCountsPerS: driftPerTenth / tenthS,
    sampleCount,
    durationS: means.length * tenthS,
    isSpreadWithin: spreadCounts <= spreadLimitCounts,
    isDriftWithin: Math.abs(driftPerTenth) * means.length <= driftLimitCounts,
    spreadLimitCounts,
    driftLimitCounts,
  };
}

/** Whole tenths only; where there is not one yet, what there is. */
function joinTenths(bins: readonly CountBin[], binsPerTenth: number): CountBin[] {
  if (bins.length < binsPerTenth) return [joinBins(bins)];
  const count = Math.floor(bins.length / binsPerTenth);
  const start = bins.length - count * binsPerTenth;
  return Array.from({ length: count }, (_, index) =>
    joinBins(bins.slice(start + index * binsPerTenth, start + (index + 1) * binsPerTenth)),
  );
}

function joinBins(bins: readonly CountBin[]): CountBin {
  const [only] = bins;
  if (only !== undefined && bins.length === 1) return only;
  const sampleCount = bins.reduce((sum, bin) => sum + bin.sampleCount, 0);
  return {
    meanCounts: bins.reduce((sum, bin) => sum + bin.meanCounts * bin.sampleCount, 0) / sampleCount,
    noiseCounts: median(bins.map(({ noiseCounts }) => noiseCounts)),
    sampleCount,
  };
}

function noisePerMean(bin: CountBin): number {
  return bin.noiseCounts / Math.sqrt(bin.sampleCount);
}

function slopePerStep(values: readonly number[]): number {
  if (values.length < 2) return 0;
  const centre = (values.length - 1) / 2;
  let products = 0;
  let squares = 0;
  values.forEach((value, index) => {
    products += (index - centre) * value;
    squares += (index - centre) ** 2;
  });
  return products / squares;
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((one, other) => one - other);
  const middle = Math.floor(sorted.length / 2);
  const upper = sorted[middle] ?? 0;
  return sorted.length % 2 === 1 ? upper : ((sorted[middle - 1] ?? 0) + upper) / 2;
}
