import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createLatestMean } from '../../../../shared-lib/signal/latest-mean.ts';

/** Of the newest slots of a record, word for word. */
function directMean(record: readonly number[], slotCount: number): number | null {
  const present = record.slice(-slotCount).filter((value) => !Number.isNaN(value));
  return present.length === 0 ? null : present.reduce((sum, value) => sum + value, 0) / present.length;
}

describe('createLatestMean', () => {
  it('is the mean of the newest slots, however they came and whatever was lost or left out', () => {
    const value = fc.oneof(
      { weight: 4, arbitrary: fc.double({ min: -1000, max: 1000, noNaN: true }) },
      fc.constant(Number.NaN),
    );
    const push = fc.record({ leftOut: fc.nat(3), values: fc.array(value, { maxLength: 8 }) });
    fc.assert(
      fc.property(fc.array(push, { maxLength: 12 }), fc.integer({ min: 1, max: 20 }), (pushes, slotCount) => {
        const latest = createLatestMean(slotCount);
        const record: number[] = [];
        for (const { leftOut, values } of pushes) {
          record.push(...new Array<number>(leftOut).fill(Number.NaN));
          latest.push(record.length, Float64Array.from(values));
          record.push(...values);
          const expected = directMean(record, slotCount);
          if (expected === null) expect(latest.mean()).toBeNull();
          else expect(latest.mean()).toBeCloseTo(expected, 9);
        }
      }),
    );
  });

  it('knows nothing before the first sample, and where all of its window was lost', () => {
    const latest = createLatestMean(3);
    expect(latest.mean()).toBeNull();
    latest.push(0, Float64Array.of(5));
    latest.push(1, new Float64Array(3).fill(Number.NaN));
    expect(latest.mean()).toBeNull();
  });
});
