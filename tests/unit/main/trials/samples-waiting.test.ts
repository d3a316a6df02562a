import { describe, expect, it } from 'vitest';
import { createSamplesWaiting } from '../../../../main/trials/samples-waiting.ts';

describe('samples that wait to be read', () => {
  it('are there after a stall and while old ones still come, and not at the pace of the clock', () => {
    const samples = createSamplesWaiting(0);
    samples.noteArrival(40_000);
    expect(samples.areWaiting(50_000)).toBe(false);
    expect(samples.areWaiting(4_000_000)).toBe(true);
    samples.noteArrival(2_000_000);
    expect(samples.areWaiting(4_050_000)).toBe(true);
    samples.noteArrival(4_090_000);
    expect(samples.areWaiting(4_100_000)).toBe(false);
  });

  it('are waited for once where every tick is late, and not where none come', () => {
    const samples = createSamplesWaiting(0);
    expect([1, 2, 3, 4].map((seconds) => samples.areWaiting(seconds * 1e6))).toEqual([
      true,
      false,
      true,
      false,
    ]);
    expect(samples.areWaiting(4_050_000)).toBe(false);
  });
});
