/** A profile's rate is worth as much as this many measured periods. */
const NOMINAL_WEIGHT = 4;
/** From then on the period is followed slowly, so that scatter of single times does not reach it. */
const MOST_WEIGHT = 256;

/**
 * The sender's sample period on its own clock, from which its device times are turned into slots. Units: us of device time.
 *
 * A phase-locked loop of second order, critically damped (phase gain 2 sqrt(g) for period gain g): the slot of a line
 * follows from all lines before it and not from one difference, so that neither scatter of single times (up to half a
 * period) nor a rate off nominal adds up to a wrong slot. At the start of a segment it takes hold of rates from 2/3 of
 * nominal to twice nominal without a gap; later it follows changes up to some 8 %.
 */
export interface DevicePeriod {
  restart(periodUs: number): void;
  periodUs(): number;
  /** At least 1, because two samples cannot share a slot. */
  slotsIn(deltaUs: number): number;
  /** Whether lines have become so much faster than slots that this one was sampled before the slot of the last one is due. */
  isOutrunBy(deltaUs: number): boolean;
  follow(deltaUs: number, slots: number): void;
}

export function createDevicePeriod(): DevicePeriod {
  let periodUs = Number.NaN;
  let weight = NOMINAL_WEIGHT;
  /** How much later than due the last line was sampled. */
  let behindUs = 0;

  return {
    restart(newPeriodUs) {
      periodUs = newPeriodUs;
      weight = NOMINAL_WEIGHT;
      behindUs = 0;
    },
    periodUs: () => periodUs,
    slotsIn: (deltaUs) => Math.max(1, Math.round((deltaUs + behindUs) / periodUs)),
    isOutrunBy: (deltaUs) => deltaUs + behindUs < 0,
    follow(deltaUs, slots) {
      const periodGain = 1 / weight;
      const phaseGain = 2 * Math.sqrt(periodGain);
      const errorUs = deltaUs + behindUs - slots * periodUs;
      behindUs = errorUs * (1 - phaseGain);
      periodUs += (periodGain * errorUs) / slots;
      weight = Math.min(weight + 1, MOST_WEIGHT);
    },
  };
}
