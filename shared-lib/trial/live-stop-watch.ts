/** As long as the measuring window: single blows are no stop. */
const BATCH_S = 0.1;

export interface LiveStopWatch {
  /** Takes the torque of the next slots, positive for forward; NaN: lost. */
  push(torqueNm: Float64Array): void;
  /** For how long the torque has been gone, in seconds; 0 while the tool pulls. */
  goneS(): number;
}

/**
 * Watches a run for the tool's own stop: means over tenths of a second, in the direction of the step, under a share of the
 * greatest of them so far. A tenth of which half is lost says nothing. Where the torque stays in the rig, nothing is seen.
 */
export function createLiveStopWatch({
  share,
  sampleRateHz,
  directionSign,
}: {
  readonly share: number;
  readonly sampleRateHz: number;
  readonly directionSign: 1 | -1;
}): LiveStopWatch {
  const batchSamples = Math.max(1, Math.round(BATCH_S * sampleRateHz));
  let greatestNm = 0;
  let goneSamples = 0;
  let sumNm = 0;
  let taken = 0;
  let present = 0;

  const endBatch = (): void => {
    if (2 * present > batchSamples) {
      const meanNm = (directionSign * sumNm) / present;
      greatestNm = Math.max(greatestNm, meanNm);
      goneSamples = meanNm < share * greatestNm ? goneSamples + batchSamples : 0;
    }
    sumNm = 0;
    taken = 0;
    present = 0;
  };

  return {
    push(torqueNm) {
      for (let index = 0; index < torqueNm.length; index += 1) {
        const value = torqueNm[index] ?? Number.NaN;
        taken += 1;
        if (!Number.isNaN(value)) {
          sumNm += value;
          present += 1;
        }
        if (taken === batchSamples) endBatch();
      }
    },
    goneS: () => goneSamples / sampleRateHz,
  };
}
