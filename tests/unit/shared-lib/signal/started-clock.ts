import fc from 'fast-check';
import {
  readyMadeProfiles,
  type AmplifierProfile,
} from '../../../../shared-lib/amplifier/amplifier-profile.ts';
import { createSampleClock, type Placement } from '../../../../shared-lib/signal/sample-clock.ts';

export const [countsOnly, sequenceCounts] = readyMadeProfiles as [AmplifierProfile, AmplifierProfile];

export const sequenceProfile = (modulus: number, nominalRateHz: number): AmplifierProfile => ({
  ...sequenceCounts,
  nominalRateHz,
  sequence: { field: 0, modulus, numeral: 'decimal' },
});
export const timeProfile = (modulus: number, nominalRateHz: number): AmplifierProfile => ({
  ...sequenceCounts,
  nominalRateHz,
  sequence: null,
  deviceTimeUs: { field: 0, modulus, numeral: 'decimal' },
});

/** Places numbers or device times as they stand in lines; a placement reads "segment", "repeated" or its slots. */
export function startClock(profile: AmplifierProfile) {
  const clock = createSampleClock(profile);
  const placeWhole = (counter: number, arrivalUs: number): Placement =>
    clock.place(
      {
        counts: 0,
        sequence: profile.sequence ? counter : Number.NaN,
        timeUs: profile.deviceTimeUs ? counter : Number.NaN,
        flags: Number.NaN,
      },
      arrivalUs,
    );
  return {
    placeWhole,
    place: (counter: number, arrivalUs: number): number | string => {
      const placement = placeWhole(counter, arrivalUs);
      return placement.kind === 'next' ? placement.slots : placement.kind;
    },
    breakSegment: () => {
      clock.breakSegment();
    },
  };
}

/** Feeds samples by their true index; each arrives when it was taken. */
export function placeAll(profile: AmplifierProfile, indices: readonly number[]): (number | string)[] {
  const clock = startClock(profile);
  const periodUs = 1e6 / profile.nominalRateHz;
  const { sequence, deviceTimeUs } = profile;
  return indices.map((index) => {
    const counter = sequence
      ? index % sequence.modulus
      : Math.round(index * periodUs) % (deviceTimeUs?.modulus ?? 1);
    return clock.place(counter, index * periodUs);
  });
}

/** Steps between samples: mostly 1, some gaps. */
export const steps = (longestGap: number): fc.Arbitrary<number[]> =>
  fc.array(fc.oneof({ weight: 8, arbitrary: fc.constant(1) }, fc.integer({ min: 1, max: longestGap })), {
    minLength: 1,
    maxLength: 300,
  });

export const indicesFrom = (start: number, increments: readonly number[]): number[] => {
  const indices = [start];
  for (const step of increments) indices.push((indices[indices.length - 1] ?? 0) + step);
  return indices;
};
