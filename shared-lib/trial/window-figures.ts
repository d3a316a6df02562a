export interface TorqueRecord {
  /** Raw calibrated samples of the whole record, as the curve shows them: clockwise is positive; NaN: lost. */
  readonly torqueNm: Float64Array;
  /** Position of onset in samples from the record's first one, with fractions. */
  readonly onsetSlot: number;
  readonly sampleRateHz: number;
}

export interface WindowFigures {
  /** Samples that arrived, and those that were lost. */
  readonly sampleCount: number;
  readonly lostCount: number;
  readonly meanNm: number | null;
  readonly leastNm: number | null;
  readonly greatestNm: number | null;
  readonly standardDeviationNm: number | null;
  readonly impulseNms: number | null;
}

/**
 * What the raw samples between two times from onset come to, both times included, as far as the record reaches. Sample i
 * lies at (i - onsetSlot) / sampleRateHz seconds.
 *
 * Mean, least and greatest are of the samples that arrived; the standard deviation is that of a sample (n - 1); the impulse
 * is the integral from the first of them to the last by the trapezoid rule, on the straight line across lost samples. Null:
 * no sample arrived, or for the last two, only one did.
 */
export function windowFigures(record: TorqueRecord, fromS: number, toS: number): WindowFigures {
  const { torqueNm, onsetSlot, sampleRateHz } = record;
  const first = Math.max(0, Math.ceil(onsetSlot + fromS * sampleRateHz));
  const end = Math.max(first, Math.min(torqueNm.length, Math.floor(onsetSlot + toS * sampleRateHz) + 1));
  let sampleCount = 0;
  let sumNm = 0;
  let leastNm = Number.POSITIVE_INFINITY;
  let greatestNm = Number.NEGATIVE_INFINITY;
  let areaNmSamples = 0;
  let before = -1;
  for (let i = first; i < end; i += 1) {
    const value = torqueNm[i] ?? Number.NaN;
    if (Number.isNaN(value)) continue;
    sampleCount += 1;
    sumNm += value;
    leastNm = Math.min(leastNm, value);
    greatestNm = Math.max(greatestNm, value);
    if (before >= 0) areaNmSamples += ((value + (torqueNm[before] ?? value)) / 2) * (i - before);
    before = i;
  }
  const lostCount = end - first - sampleCount;
  if (sampleCount === 0) {
    return {
      sampleCount,
      lostCount,
      meanNm: null,
      leastNm: null,
      greatestNm: null,
      standardDeviationNm: null,
      impulseNms: null,
    };
  }
  const meanNm = sumNm / sampleCount;
  let squares = 0;
  for (let i = first; i < end; i += 1) {
    const value = torqueNm[i] ?? Number.NaN;
    if (!Number.isNaN(value)) squares += (value - meanNm) ** 2;
  }
  return {
    sampleCount,
    lostCount,
    meanNm,
    leastNm,
    greatestNm,
    standardDeviationNm: sampleCount < 2 ? null : Math.sqrt(squares / (sampleCount - 1)),
    impulseNms: sampleCount < 2 ? null : areaNmSamples / sampleRateHz,
  };
}
