import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { indicesFrom, placeAll, startClock, steps, timeProfile } from './started-clock.ts';

describe('a clock with device time', () => {
  it('finds the lost slots from unwrapped time over gaps shorter than one modulus', () => {
    fc.assert(
      fc.property(fc.nat(5_000_000), steps(900), (start, increments) => {
        const placed = placeAll(timeProfile(2 ** 20, 1000), indicesFrom(start, increments));
        expect(placed).toEqual(['segment', ...increments]);
      }),
    );
  });

  it('starts a new segment after a gap of a modulus or more', () => {
    const placed = placeAll(timeProfile(2 ** 20, 1000), [0, 1, 2, 2 + 1049]);
    expect(placed).toEqual(['segment', 1, 1, 'segment']);
  });

  it.each([1010, 990])('keeps gaps of any length right at %i us a sample instead of 1000', (periodUs) => {
    const { place } = startClock(timeProfile(2 ** 32, 1000));
    const placeSample = (index: number) => place(Math.round(index * periodUs), index * periodUs);
    for (let index = 0; index < 2000; index += 1)
      expect(placeSample(index)).toBe(index === 0 ? 'segment' : 1);
    expect(placeSample(2000 + 499)).toBe(500);
    expect(placeSample(2000 + 499 + 5000)).toBe(5000);
  });

  // A run of times on one side draws the clock along, so that the next one on the other side is off by twice its own.
  it('follows scatter of single times up to a quarter of a period, however they follow each other', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -240, max: 240 }), { minLength: 1, maxLength: 500 }),
        (scatter) => {
          const clock = startClock(timeProfile(2 ** 32, 1000));
          for (let index = 0; index < 300; index += 1) clock.place(10_000 + index * 1000, index * 1000);
          const placed = scatter.map((us, at) => clock.place(310_000 + at * 1000 + us, (300 + at) * 1000));
          expect(new Set(placed)).toEqual(new Set([1]));
        },
      ),
    );
  });

  it('learns a rate that was entered wrongly from the first lines, without gap or loss', () => {
    for (const trueRateHz of [55, 70, 79, 81, 100, 159]) {
      const { place } = startClock(timeProfile(2 ** 32, 80));
      const placed = Array.from({ length: 400 }, (_, index) =>
        place(Math.round((index * 1e6) / trueRateHz), (index * 1e6) / trueRateHz),
      );
      expect([trueRateHz, ...new Set(placed)]).toEqual([trueRateHz, 'segment', 1]);
    }
  });

  it.each([
    { what: 'ahead by a second', jumpUs: 1_000_000 },
    { what: 'ahead by an hour', jumpUs: 3_600_000_000 },
    { what: 'back by 3 ms', jumpUs: -3000 },
    { what: 'back to its start', jumpUs: -3_999_000 },
  ])('starts a new segment where the clock of the device jumps $what', ({ jumpUs }) => {
    const { place } = startClock(timeProfile(2 ** 32, 1000));
    for (let index = 0; index < 4000; index += 1) place(index * 1000, index * 1000);
    expect(place((4_000_000 + jumpUs) % 2 ** 32, 4_000_000)).toBe('segment');
    expect(place((4_001_000 + jumpUs) % 2 ** 32, 4_001_000)).toBe(1);
  });

  it('takes lines with the same time for one line that came twice, and other times never', () => {
    const { place } = startClock(timeProfile(2 ** 32, 1000));
    for (let index = 0; index < 100; index += 1) place(index * 1000, index * 1000);
    expect([place(99_000, 99_500), place(99_300, 99_600), place(100_000, 100_000)]).toEqual([
      'repeated',
      1,
      1,
    ]);
  });

  /** 1000 samples at 80 Sa/s, then 1000 at another rate: how they were placed, and where by device time they belong. */
  const changeRate = (toHz: number) => {
    const { place } = startClock(timeProfile(2 ** 32, 80));
    let timeUs = 0;
    let slot = 0;
    let segments = 0;
    let samplesOfSegment = 0;
    let worstSlotError = 0;
    for (let index = 0; index < 2000; index += 1) {
      timeUs += 1e6 / (index < 1000 ? 80 : toHz);
      const placed = place(Math.round(timeUs), timeUs);
      if (placed === 'segment') {
        segments += 1;
        samplesOfSegment = 1;
        continue;
      }
      samplesOfSegment += 1;
      slot += Number(placed);
      if (segments === 1)
        worstSlotError = Math.max(worstSlotError, Math.abs(slot - (timeUs - 12_500) / 12_500));
    }
    return { segments, emptySlots: slot - (2000 - segments), samplesOfSegment, worstSlotError };
  };

  it.each([76, 78, 82, 84])(
    'follows a change of the rate from 80 to %i Sa/s without gap or break',
    (toHz) => {
      expect(changeRate(toHz)).toMatchObject({ segments: 1, emptySlots: 0 });
    },
  );

  it('leaves slots empty at their right times where the sender slows down to half its rate', () => {
    const { segments, emptySlots, worstSlotError } = changeRate(40);
    expect(segments).toBe(1);
    // Every other slot from the change on, but for the few samples that the phase takes to settle.
    expect(Math.abs(emptySlots - 1000)).toBeLessThanOrEqual(1);
    expect(worstSlotError).toBeLessThanOrEqual(1);
  });

  it.each([120, 160, 1000])('starts one new segment where the sender speeds up to %i Sa/s', (toHz) => {
    const { segments, emptySlots, samplesOfSegment } = changeRate(toHz);
    expect({ segments, emptySlots }).toEqual({ segments: 2, emptySlots: 0 });
    expect(samplesOfSegment).toBeGreaterThan(990);
  });
});
