import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  readyMadeProfiles,
  type AmplifierProfile,
} from '../../../../shared-lib/amplifier/amplifier-profile.ts';
import { createSampleClock, type Placement } from '../../../../shared-lib/signal/sample-clock.ts';

const [countsOnly, sequenceCounts] = readyMadeProfiles as [AmplifierProfile, AmplifierProfile];

const sequenceProfile = (modulus: number, nominalRateHz: number): AmplifierProfile => ({
  ...sequenceCounts,
  nominalRateHz,
  sequence: { field: 0, modulus, numeral: 'decimal' },
});
const timeProfile = (modulus: number, nominalRateHz: number): AmplifierProfile => ({
  ...sequenceCounts,
  nominalRateHz,
  sequence: null,
  deviceTimeUs: { field: 0, modulus, numeral: 'decimal' },
});

/** Feeds samples by their true index; each arrives when it was taken. */
function placeAll(profile: AmplifierProfile, indices: readonly number[]): Placement[] {
  const clock = createSampleClock(profile);
  const periodUs = 1e6 / profile.nominalRateHz;
  return indices.map((index) =>
    clock.place(
      {
        counts: 0,
        sequence: profile.sequence ? index % profile.sequence.modulus : Number.NaN,
        timeUs: profile.deviceTimeUs
          ? Math.round(index * periodUs) % profile.deviceTimeUs.modulus
          : Number.NaN,
      },
      index * periodUs,
    ),
  );
}

const next = (slots: number): Placement => ({ kind: 'next', slots });

/** Steps between samples: mostly 1, some gaps. */
const steps = (longestGap: number): fc.Arbitrary<number[]> =>
  fc.array(fc.oneof({ weight: 8, arbitrary: fc.constant(1) }, fc.integer({ min: 1, max: longestGap })), {
    minLength: 1,
    maxLength: 300,
  });

const indicesFrom = (start: number, increments: readonly number[]): number[] => {
  const indices = [start];
  for (const step of increments) indices.push((indices[indices.length - 1] ?? 0) + step);
  return indices;
};

describe('a clock with a sequence number', () => {
  it('unwraps every gap that is shorter than one modulus', () => {
    fc.assert(
      fc.property(
        fc.nat(70_000),
        fc.constantFrom(256, 1024, 65_536),
        steps(240),
        (start, modulus, increments) => {
          const placed = placeAll(sequenceProfile(modulus, 1000), indicesFrom(start, increments));
          expect(placed).toEqual([{ kind: 'segment' }, ...increments.map(next)]);
        },
      ),
    );
  });

  it('starts a new segment after a gap of a modulus or more', () => {
    fc.assert(
      fc.property(fc.nat(1000), fc.integer({ min: 256, max: 2000 }), (start, gap) => {
        const placed = placeAll(sequenceProfile(256, 1000), [start, start + 1, start + 1 + gap]);
        expect(placed).toEqual([{ kind: 'segment' }, next(1), { kind: 'segment' }]);
      }),
    );
  });

  it('starts a new segment where a device begins to count anew', () => {
    const clock = createSampleClock(sequenceProfile(2 ** 32, 1000));
    const place = (sequence: number, arrivalUs: number) =>
      clock.place({ counts: 0, sequence, timeUs: Number.NaN }, arrivalUs).kind;
    expect([place(50_000, 0), place(50_001, 1000), place(0, 400_000), place(1, 401_000)]).toEqual([
      'segment',
      'next',
      'segment',
      'next',
    ]);
  });

  it('leaves a repeated line out', () => {
    expect(placeAll(sequenceProfile(256, 1000), [7, 8, 8, 9]).map(({ kind }) => kind)).toEqual([
      'segment',
      'next',
      'repeated',
      'next',
    ]);
  });

  it('believes a gap behind lines that waited while the host was held up', () => {
    const clock = createSampleClock(sequenceProfile(2 ** 32, 1000));
    const place = (sequence: number, arrivalUs: number) =>
      clock.place({ counts: 0, sequence, timeUs: Number.NaN }, arrivalUs);
    for (let index = 0; index < 3000; index += 1) place(index, index * 1000);
    // The host stands still for 2 s; the port's buffer held 100 lines, the rest was lost.
    for (let index = 3000; index < 3100; index += 1) expect(place(index, 5_000_000)).toEqual(next(1));
    expect(place(5000, 5_000_100)).toEqual(next(1901));
  });

  it('believes gaps although the nominal rate was entered far too low', () => {
    const clock = createSampleClock(sequenceProfile(2 ** 32, 80));
    const place = (sequence: number, arrivalUs: number) =>
      clock.place({ counts: 0, sequence, timeUs: Number.NaN }, arrivalUs);
    for (let index = 0; index < 25_000; index += 1) place(index, index * 100);
    expect(place(25_500, 25_500 * 100)).toEqual(next(501));
  });
});

describe('a clock with device time', () => {
  it('finds the lost slots from unwrapped time over gaps shorter than one modulus', () => {
    fc.assert(
      fc.property(fc.nat(5_000_000), steps(900), (start, increments) => {
        const placed = placeAll(timeProfile(2 ** 20, 1000), indicesFrom(start, increments));
        expect(placed).toEqual([{ kind: 'segment' }, ...increments.map(next)]);
      }),
    );
  });

  it('starts a new segment after a gap of a modulus or more', () => {
    const placed = placeAll(timeProfile(2 ** 20, 1000), [0, 1, 2, 2 + 1049]);
    expect(placed.map(({ kind }) => kind)).toEqual(['segment', 'next', 'next', 'segment']);
  });

  it('keeps long gaps right when the true rate is 1 % off nominal', () => {
    const clock = createSampleClock(timeProfile(2 ** 32, 1000));
    const place = (index: number) =>
      clock.place({ counts: 0, sequence: Number.NaN, timeUs: Math.round(index * 1010) }, index * 1010);
    for (let index = 0; index < 2000; index += 1) place(index);
    expect(place(2000 + 499)).toEqual(next(500));
  });
});

describe('a clock with neither', () => {
  it('gives every line the next slot', () => {
    expect(placeAll(countsOnly, [0, 1, 500, 501])).toEqual([{ kind: 'segment' }, next(1), next(1), next(1)]);
  });
});
