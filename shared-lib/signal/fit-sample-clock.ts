/**
 * A slot whose arrival the host timed: the last slot of a block and the host's monotonic time when the bytes that held it
 * had been read. Marks are of blocks, not of samples: their scatter is that of single reads, never averaged over a block.
 */
export interface ArrivalMark {
  readonly slot: number;
  readonly arrivalUs: number;
}

export interface SampleClockFit {
  readonly sampleRateHz: number;
  /** Standard error of the rate against the host's clock, from the scatter of the marks with n - 2 degrees of freedom. */
  readonly rateStandardErrorHz: number;
  /** Root mean square of the marks' deviations from the line. */
  readonly residualUs: number;
  /** Host time of slot 0 on the line: late by as much as the reads are on average, which no fit can know. */
  readonly startUs: number;
}

/**
 * One rate for a run of slots, by least squares of the slots' positions against host time.
 *
 * Arrival times carry all the scatter and slots none, so time is regressed on slot: the other way round the scatter
 * would lower the slope. Sums are taken about the means, which keeps the digits at slots and times of any size.
 *
 * The standard error takes the deviations of the marks as independent of each other and of equal spread. A host whose
 * delay wanders over seconds, or a sender whose rate drifts, makes it too small; the host's own oscillator is not in it.
 *
 * Returns null where there is no line to fit: fewer than 3 marks, one slot only, or time that does not advance.
 * Source: ordinary least squares; checked against the certified values of the data set Norris of the NIST Statistical
 * Reference Datasets, tests/fixtures/reference-values/nist-norris.json.
 */
export function fitSampleClock(marks: readonly ArrivalMark[]): SampleClockFit | null {
  if (marks.length < 3) return null;
  const meanSlot = mean(marks, (mark) => mark.slot);
  const meanArrivalUs = mean(marks, (mark) => mark.arrivalUs);

  let slotSpread = 0;
  let commonSpread = 0;
  for (const { slot, arrivalUs } of marks) {
    slotSpread += (slot - meanSlot) ** 2;
    commonSpread += (slot - meanSlot) * (arrivalUs - meanArrivalUs);
  }
  const periodUs = commonSpread / slotSpread;
  if (!(periodUs > 0 && Number.isFinite(periodUs))) return null;

  let squaredDeviations = 0;
  for (const { slot, arrivalUs } of marks) {
    squaredDeviations += (arrivalUs - meanArrivalUs - periodUs * (slot - meanSlot)) ** 2;
  }
  const periodStandardErrorUs = Math.sqrt(squaredDeviations / (marks.length - 2) / slotSpread);
  return {
    sampleRateHz: 1e6 / periodUs,
    // The rate is the period's inverse, so that their relative errors are equal while they are small.
    rateStandardErrorHz: (1e6 / periodUs) * (periodStandardErrorUs / periodUs),
    residualUs: Math.sqrt(squaredDeviations / marks.length),
    startUs: meanArrivalUs - periodUs * meanSlot,
  };
}

/** Mean about the first value, so that large slots and times lose no digits in the sum. */
function mean(marks: readonly ArrivalMark[], read: (mark: ArrivalMark) => number): number {
  const first = marks[0];
  if (first === undefined) return Number.NaN;
  const origin = read(first);
  return origin + marks.reduce((sum, mark) => sum + (read(mark) - origin), 0) / marks.length;
}
