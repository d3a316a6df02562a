import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  countsOnly,
  indicesFrom,
  placeAll,
  sequenceProfile,
  startClock,
  steps,
  timeProfile,
} from './started-clock.ts';

describe('gaps of a sequence number', () => {
  it('bridges every gap that is shorter than one modulus', () => {
    fc.assert(
      fc.property(
        fc.nat(70_000),
        fc.constantFrom(256, 1024, 65_536),
        steps(240),
        (start, modulus, increments) => {
          const placed = placeAll(sequenceProfile(modulus, 1000), indicesFrom(start, increments));
          expect(placed).toEqual(['segment', ...increments]);
        },
      ),
    );
  });

  it('bridges them as well with the smallest modulus', () => {
    const increments = [1, 2, 15, 1, 1, 8, 14, 1];
    expect(placeAll(sequenceProfile(16, 1000), indicesFrom(3, increments))).toEqual([
      'segment',
      ...increments,
    ]);
  });

  it('starts a new segment after a gap of a modulus or more', () => {
    fc.assert(
      fc.property(fc.nat(1000), fc.integer({ min: 256, max: 2000 }), (start, gap) => {
        const placed = placeAll(sequenceProfile(256, 1000), [start, start + 1, start + 1 + gap]);
        expect(placed).toEqual(['segment', 1, 'segment']);
      }),
    );
  });

  it('starts a new segment after 30 s without a line, however large the modulus', () => {
    const indices = [0, 1, 1 + 29 * 80, 1 + 59 * 80];
    expect(placeAll(sequenceProfile(2 ** 32, 80), indices)).toEqual(['segment', 1, 29 * 80, 'segment']);
  });

  it('believes a gap behind lines that waited while the host was held up', () => {
    const { place } = startClock(sequenceProfile(2 ** 32, 1000));
    for (let index = 0; index < 3000; index += 1) place(index, index * 1000);
    // The host stands still for 2 s; the port's buffer held 100 lines, the rest was lost.
    for (let index = 3000; index < 3100; index += 1) expect(place(index, 5_000_000)).toBe(1);
    expect(place(5000, 5_000_100)).toBe(1901);
  });

  it('no longer believes such a gap once the lines have caught up with the clock', () => {
    const { place } = startClock(sequenceProfile(2 ** 32, 1000));
    for (let index = 0; index < 3000; index += 1) place(index, index * 1000);
    for (let index = 3000; index < 5000; index += 1) expect(place(index, 5_000_000)).toBe(1);
    for (let index = 5000; index < 7000; index += 1) expect(place(index, index * 1000)).toBe(1);
    expect(place(7000 + 1900, 7_000_100)).toBe('segment');
  });

  it('believes gaps although the nominal rate was entered far too low', () => {
    const { place } = startClock(sequenceProfile(2 ** 32, 80));
    for (let index = 0; index < 25_000; index += 1) place(index, index * 100);
    expect(place(25_500, 25_500 * 100)).toBe(501);
  });
});

describe('steps backwards of a sequence number', () => {
  it('starts a new segment where a device begins to count anew', () => {
    const { place } = startClock(sequenceProfile(2 ** 32, 1000));
    expect([place(50_000, 0), place(50_001, 1000), place(0, 400_000), place(1, 401_000)]).toEqual([
      'segment',
      1,
      'segment',
      1,
    ]);
  });

  it('says from which number to which it went', () => {
    const { placeWhole } = startClock(sequenceProfile(2 ** 32, 1000));
    placeWhole(50_000, 0);
    expect(placeWhole(0, 1000)).toEqual({
      kind: 'segment',
      reason: 'the sequence number went from 50000 to 0',
    });
  });

  it.each([
    { modulus: 16, rateHz: 1000, back: 3 },
    { modulus: 64, rateHz: 1000, back: 20 },
    { modulus: 256, rateHz: 1000, back: 3 },
    { modulus: 256, rateHz: 1000, back: 100 },
    { modulus: 256, rateHz: 10_000, back: 100 },
    { modulus: 256, rateHz: 100_000, back: 1 },
    { modulus: 256, rateHz: 80, back: 40 },
    { modulus: 1024, rateHz: 1000, back: 500 },
  ])('is no gap: back by $back with modulus $modulus at $rateHz Sa/s', ({ modulus, rateHz, back }) => {
    const { place } = startClock(sequenceProfile(modulus, rateHz));
    const periodUs = 1e6 / rateHz;
    for (let index = 0; index < 3 * modulus; index += 1) place(index % modulus, index * periodUs);
    expect(place((3 * modulus - 1 - back) % modulus, 3 * modulus * periodUs)).toBe('segment');
  });

  it('is no gap after hours with a sender that is slower than its nominal rate', () => {
    const { place } = startClock(sequenceProfile(2400, 80));
    const periodUs = 1e6 / 79;
    for (let index = 0; index < 300_000; index += 1) place(index % 2400, index * periodUs);
    expect(place(0, 300_000 * periodUs)).toBe(1);
    // 1000 numbers ahead, 12.5 s of them, where hardly any time went by.
    expect(place(1000, 300_001 * periodUs)).toBe('segment');
  });
});

describe('a number that jumps ahead further than the clock of the host allows', () => {
  it('starts a new segment', () => {
    const { place } = startClock(sequenceProfile(2 ** 32, 1000));
    expect([place(10, 0), place(11, 1000), place(11 + 600, 2000), place(612, 3000)]).toEqual([
      'segment',
      1,
      'segment',
      1,
    ]);
  });
});

describe('the same number again', () => {
  it('takes no slot', () => {
    expect(placeAll(sequenceProfile(256, 1000), [7, 8, 8, 8, 9])).toEqual([
      'segment',
      1,
      'repeated',
      'repeated',
      1,
    ]);
  });

  it('is still a repetition when it goes on for longer than a modulus lasts', () => {
    const { place } = startClock(sequenceProfile(256, 1000));
    place(7, 0);
    for (let index = 1; index < 2000; index += 1) expect(place(7, index * 1000)).toBe('repeated');
  });

  it('starts a new segment behind a silence in which a whole modulus may have been lost', () => {
    const { place } = startClock(sequenceProfile(256, 1000));
    place(6, 0);
    expect([place(7, 1000), place(7, 257_000)]).toEqual([1, 'segment']);
  });
});

describe('a host that stalls while numbers have a small modulus', () => {
  /** 1 s of steady lines, a stall, then all lines that waited at once. */
  const stall = (modulus: number, rateHz: number, stallS: number): (number | string)[] => {
    const { place } = startClock(sequenceProfile(modulus, rateHz));
    let index = 0;
    for (; index < rateHz; index += 1) place(index % modulus, (index / rateHz) * 1e6);
    const placed = [];
    for (const end = index + stallS * rateHz; index < end; index += 1) {
      placed.push(place(index % modulus, (1 + stallS) * 1e6));
    }
    return placed;
  };

  it('joins what waited while it stalled for less than half a modulus', () => {
    expect(new Set(stall(256, 1000, 0.115))).toEqual(new Set([1]));
    expect(new Set(stall(1024, 1000, 0.49))).toEqual(new Set([1]));
  });

  it('ends the segment once when it stalled for longer, because a whole modulus may have been lost', () => {
    const placed = stall(256, 1000, 0.15);
    expect(placed[0]).toBe('segment');
    expect(new Set(placed.slice(1))).toEqual(new Set([1]));
  });

  it('joins what waited for up to the modulus less half a second where the modulus is longer', () => {
    expect(new Set(stall(10_000, 1000, 8.9))).toEqual(new Set([1]));
    expect(stall(10_000, 1000, 9.6)[0]).toBe('segment');
  });

  it('says what may have happened', () => {
    const { placeWhole } = startClock(sequenceProfile(256, 1000));
    placeWhole(6, 0);
    expect(placeWhole(7, 200_000)).toEqual({
      kind: 'segment',
      reason: 'lines stayed away so long that the sequence number may have passed its modulus of 256 unseen',
    });
  });
});

describe('a sender with a sequence number that changes its rate', () => {
  it.each([
    { from: 80, to: 160, modulus: 2 ** 32 },
    { from: 160, to: 80, modulus: 2 ** 32 },
    { from: 80, to: 160, modulus: 256 },
    { from: 160, to: 80, modulus: 256 },
    { from: 1000, to: 5000, modulus: 65_536 },
  ])('keeps its slots from $from to $to Sa/s, modulus $modulus', ({ from, to, modulus }) => {
    for (const nominalRateHz of [from, to]) {
      const { place } = startClock(sequenceProfile(modulus, nominalRateHz));
      let arrivalUs = 0;
      const placed = Array.from({ length: 5 * from + 10 * to }, (_, index) => {
        arrivalUs += 1e6 / (index < 5 * from ? from : to);
        return place(index % modulus, arrivalUs);
      });
      expect(placed[0]).toBe('segment');
      expect(new Set(placed.slice(1))).toEqual(new Set([1]));
    }
  });

  it('has no false gap or reset when its lines arrive in clumps, as USB ports hand them over', () => {
    const { place } = startClock(sequenceProfile(1024, 1000));
    const placed = Array.from({ length: 20_000 }, (_, index) =>
      place(index % 1024, Math.ceil((index * 990) / 16_000) * 16_000),
    );
    expect(placed[0]).toBe('segment');
    expect(new Set(placed.slice(1))).toEqual(new Set([1]));
  });
});

describe('a clock with neither', () => {
  it('gives every line the next slot', () => {
    expect(placeAll(countsOnly, [0, 1, 5, 6])).toEqual(['segment', 1, 1, 1]);
  });

  it('joins lines that waited while the reader stalled for less than a second', () => {
    const { place } = startClock({ ...countsOnly, nominalRateHz: 1000 });
    place(0, 0);
    expect([place(0, 999_000), place(0, 999_000), place(0, 1_000_000)]).toEqual([1, 1, 1]);
  });

  it.each([
    { rateHz: 1000, longestS: 1 },
    { rateHz: 80, longestS: 1 },
    { rateHz: 10, longestS: 5 },
  ])('starts a new segment after a silence of $longestS s at $rateHz Sa/s', ({ rateHz, longestS }) => {
    const clock = startClock({ ...countsOnly, nominalRateHz: rateHz });
    clock.place(0, 0);
    expect(clock.place(0, longestS * 1e6 - 1)).toBe(1);
    expect(clock.placeWhole(0, 2 * longestS * 1e6 - 1)).toEqual({
      kind: 'segment',
      reason: `no line came for ${longestS.toFixed(2)} s`,
    });
    expect(clock.place(0, 2 * longestS * 1e6)).toBe(1);
  });
});

describe('a segment that is broken on request', () => {
  it.each([
    ['sequence', sequenceProfile(256, 1000), 1],
    ['device time', timeProfile(2 ** 32, 1000), 1000],
    ['neither', { ...countsOnly, nominalRateHz: 1000 }, 0],
  ])('begins anew with the next line, with %s', (_, profile, step) => {
    const { place, breakSegment } = startClock(profile);
    const placed = [place(0, 0), place(step, 1000)];
    breakSegment();
    expect([...placed, place(2 * step, 2000), place(3 * step, 3000)]).toEqual(['segment', 1, 'segment', 1]);
  });
});
