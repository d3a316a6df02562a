import { describe, expect, it } from 'vitest';
import { joinRuns } from '../../../../main/storage/recorded-runs.ts';
import type { RecordedRun } from '../../../../main/storage/block-codec.ts';

const run = (firstSlot: number, counts: number[], others: Partial<RecordedRun> = {}): RecordedRun => ({
  firstSlot,
  counts: Int32Array.from(counts),
  gaps: [],
  marks: [{ slot: firstSlot + counts.length - 1, arrivalUs: 1000 * firstSlot }],
  ...others,
});

describe('joining the runs of a record', () => {
  it('puts counts and marks in a row', () => {
    expect(joinRuns([run(0, [1, 2]), run(2, [3])], 0)).toEqual({
      firstSlot: 0,
      counts: Int32Array.of(1, 2, 3),
      gaps: [],
      marks: [
        { slot: 1, arrivalUs: 0 },
        { slot: 2, arrivalUs: 2000 },
      ],
    });
  });

  it('keeps the slots that no run covers, as a gap', () => {
    const joined = joinRuns([run(2, [1]), run(5, [2])], 0);
    expect(joined.counts).toEqual(Int32Array.of(0, 0, 1, 0, 0, 2));
    expect(joined.gaps).toEqual([
      { offset: 0, length: 2 },
      { offset: 3, length: 2 },
    ]);
  });

  it('makes one gap of those that touch', () => {
    const joined = joinRuns(
      [
        run(0, [1, 0], { gaps: [{ offset: 1, length: 1 }] }),
        run(3, [0, 0, 9], { gaps: [{ offset: 0, length: 2 }] }),
      ],
      0,
    );
    expect(joined.gaps).toEqual([{ offset: 1, length: 4 }]);
  });

  it('counts gaps from the slot it begins at', () => {
    const joined = joinRuns([run(10, [0, 5], { gaps: [{ offset: 0, length: 1 }] })], 10);
    expect(joined.gaps).toEqual([{ offset: 0, length: 1 }]);
  });

  it('gives nothing for nothing', () => {
    expect(joinRuns([], 0)).toEqual({ firstSlot: 0, counts: new Int32Array(0), gaps: [], marks: [] });
  });

  it('refuses runs that overlap', () => {
    expect(() => joinRuns([run(0, [1, 2]), run(1, [3])], 0)).toThrow(RangeError);
  });
});
