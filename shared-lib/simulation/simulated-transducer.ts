/** The transducer and rig of the simulated bench, for the program to seed its Setup with. */
export const simulatedTransducer = {
  capacityNm: 1500,
  rigLimitNm: 1400,
  rigUnloading: 'releases',
  rigRevision: '',
} as const;

/** At capacity the converter of 24 bits stands at 6 000 000 of its 8 388 607 counts. */
const forwardGainNmPerCount = simulatedTransducer.capacityNm / 6_000_000;

/**
 * A calibration that is true of the simulated bench with its default capacity. The two senses differ a little, as they
 * do in real transducers. The zero is not part of it: each seed has its own, found by zeroing.
 */
export const simulatedCalibration = {
  forward: { gainNmPerCount: forwardGainNmPerCount, validToNm: simulatedTransducer.capacityNm, curve: null },
  reverse: {
    gainNmPerCount: forwardGainNmPerCount * 1.0016,
    validToNm: simulatedTransducer.capacityNm,
    curve: null,
  },
} as const;
