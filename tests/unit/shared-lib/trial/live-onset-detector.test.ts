import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { measuringCurve, measuringWindowSamples } from '../../../../shared-lib/signal/measuring-curve.ts';
import { findOnset } from '../../../../shared-lib/trial/find-onset.ts';
import {
  createLiveOnsetDetector,
  hasBegunBeforeGo,
  type LiveOnset,
} from '../../../../shared-lib/trial/live-onset-detector.ts';
import { createNoise, sampleRecord } from './synthetic-run.ts';

/** Feeds a record in chunks; a chunk may leave the NaN slots at its start out, as a reader does. */
function feed(
  record: Float64Array,
  options: {
    levelNm: number;
    nominalRateHz: number;
    directionSign: 1 | -1;
    isOneWay?: boolean;
    firstSlot?: number;
  },
  chunkLengths: readonly number[],
  leavesGapsOut: boolean,
): LiveOnset | null {
  const { firstSlot = 0 } = options;
  const detector = createLiveOnsetDetector(options);
  let start = 0;
  for (let k = 0; start < record.length; k += 1) {
    const end = Math.min(record.length, start + (chunkLengths[k % chunkLengths.length] ?? 1));
    let from = start;
    if (leavesGapsOut && start > 0) while (from < end && Number.isNaN(record[from])) from += 1;
    const found =
      from === end && leavesGapsOut ? null : detector.push(firstSlot + from, record.slice(from, end));
    if (found !== null) return found;
    start = end;
  }
  return null;
}

/** The definition on the whole record at once. */
function offline(
  record: Float64Array,
  levelNm: number,
  nominalRateHz: number,
  directionSign: 1 | -1,
): number | null {
  const windowSamples = measuringWindowSamples(nominalRateHz) ?? Number.NaN;
  return findOnset(
    measuringCurve(record, windowSamples).map((value) => directionSign * value),
    levelNm,
    nominalRateHz,
  );
}

describe('an onset close to the go', () => {
  it('is of a torque from before it where it lies more than half a window and a sample before it', () => {
    // 1000 Sa/s: half of 101 samples; 80 Sa/s: half of 9.
    expect(hasBegunBeforeGo(3449, 3500, 1000)).toBe(false);
    expect(hasBegunBeforeGo(3448.9, 3500, 1000)).toBe(true);
    expect(hasBegunBeforeGo(275, 280, 80)).toBe(false);
    expect(hasBegunBeforeGo(274.9, 280, 80)).toBe(true);
    expect(hasBegunBeforeGo(3600, 3500, 1000)).toBe(false);
  });

  it('is never taken for one from before it where the torque began with the go, however steeply', () => {
    for (const nominalRateHz of [36, 80, 1000, 40_000]) {
      const goSlot = 2 * nominalRateHz;
      const record = Float64Array.from({ length: 3 * nominalRateHz }, (_, slot) =>
        slot >= goSlot ? 1e6 : 0,
      );
      const found = feed(record, { levelNm: 5, nominalRateHz, directionSign: 1 }, [37], false);
      expect(found).toEqual({ onsetSlot: expect.any(Number) as number });
      const onsetSlot = found !== null && 'onsetSlot' in found ? found.onsetSlot : Number.NaN;
      expect(hasBegunBeforeGo(onsetSlot, goSlot, nominalRateHz)).toBe(false);
    }
  });
});

describe('createLiveOnsetDetector', () => {
  it('finds the onset of the definition for any chunking, gaps and noise', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(40, 80, 320, 1000),
        fc.integer({ min: 1, max: 1_000_000 }),
        fc.array(fc.record({ at: fc.double({ min: 0, max: 1, noNaN: true }), length: fc.nat(300) }), {
          maxLength: 4,
        }),
        fc.array(fc.integer({ min: 1, max: 400 }), { minLength: 1, maxLength: 10 }),
        fc.boolean(),
        fc.constantFrom<1 | -1>(1, -1),
        (nominalRateHz, seed, gaps, chunkLengths, leavesGapsOut, directionSign) => {
          const noise = createNoise(seed);
          const record = sampleRecord({
            rateHz: nominalRateHz,
            plannedS: 1,
            // Up, and down again, so that no window at the record's end decides.
            torqueNm: (t) => directionSign * (t > 0 && t < 1 ? 60 * t : 0) + 2 * noise(),
          });
          for (const { at, length } of gaps) {
            const start = Math.floor(at * record.length);
            record.fill(Number.NaN, start, start + length);
          }
          record.fill(0, record.length - 2 * nominalRateHz * 0.2);
          const expected = offline(record, 5, nominalRateHz, directionSign);
          const options = { levelNm: 5, nominalRateHz, directionSign, firstSlot: 4_000_000_000 };
          const live = feed(record, options, chunkLengths, leavesGapsOut);
          if (expected === null) expect(live).toBeNull();
          else expect(live).toEqual({ onsetSlot: expect.closeTo(4_000_000_000 + expected, 5) as number });
        },
      ),
      { numRuns: 200 },
    );
  });

  it('says when torque is held in the wrong direction instead', () => {
    const record = sampleRecord({ rateHz: 1000, plannedS: 1, torqueNm: (t) => -60 * Math.max(0, t) });
    const options = { levelNm: 5, nominalRateHz: 1000 } as const;
    expect(feed(record, { ...options, directionSign: 1 }, [37], false)).toEqual({ wrongDirection: true });
    expect(feed(record, { ...options, directionSign: -1 }, [37], false)).toEqual({
      onsetSlot: expect.closeTo(1000 + 1000 / 12, 5) as number,
    });
  });

  it('looks at one direction only where it is told to, whatever comes first', () => {
    const record = sampleRecord({ rateHz: 1000, plannedS: 1, torqueNm: (t) => (t < 0.5 ? 60 : -60) });
    const options = { levelNm: 5, nominalRateHz: 1000, directionSign: -1 } as const;
    expect(feed(record, options, [37], false)).toEqual({ wrongDirection: true });
    expect(feed(record, { ...options, isOneWay: true }, [37], false)).toEqual({
      onsetSlot: expect.closeTo(1500, -1) as number,
    });
  });

  it('knows onset half a window and the hold later, no sooner and no later', () => {
    // 80 Sa/s: half a window is 4 samples, the hold 8. A step at slot 100 onsets in the window at 96.
    const detector = createLiveOnsetDetector({ levelNm: 5, nominalRateHz: 80, directionSign: 1 });
    const found: (LiveOnset | null)[] = [];
    for (let slot = 0; slot < 120; slot += 1)
      found.push(detector.push(slot, Float64Array.of(slot < 100 ? 0 : 90)));
    // The curve climbs by 10 per sample from slot 95 (0) on: 5 lies at 95.5; held from 96 to 103, whose window ends at 107.
    expect(found.findIndex((result) => result !== null)).toBe(107);
    expect(found[107]).toEqual({ onsetSlot: expect.closeTo(95.5, 9) as number });
    expect(found.slice(108).every((result) => result === null)).toBe(true);
  });

  it('does not hold torque across a gap, however long', () => {
    for (const gap of [10, 1_000_000_000]) {
      const detector = createLiveOnsetDetector({ levelNm: 5, nominalRateHz: 80, directionSign: 1 });
      expect(detector.push(0, new Float64Array(50))).toBeNull();
      // Three samples lift the curve at slots 46 to 52: seven of the eight that a hold takes.
      expect(detector.push(50, new Float64Array(3).fill(90))).toBeNull();
      // Behind the gap the curve begins where half of its first window is there: at the first sample.
      expect(detector.push(53 + gap, new Float64Array(20).fill(90))).toEqual({ onsetSlot: 53 + gap });
    }
  });

  it('refuses slots it has had and rates without a measuring curve', () => {
    const detector = createLiveOnsetDetector({ levelNm: 5, nominalRateHz: 80, directionSign: 1 });
    detector.push(10, new Float64Array(5));
    expect(() => detector.push(14, new Float64Array(5))).toThrow(RangeError);
    expect(() => createLiveOnsetDetector({ levelNm: 5, nominalRateHz: 35, directionSign: 1 })).toThrow(
      expect.objectContaining({ code: 'rate-too-low' }) as Error,
    );
  });
});
