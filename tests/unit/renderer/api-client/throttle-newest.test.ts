import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { throttleNewest } from '../../../../renderer/api-client/throttle-newest.ts';

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

describe('a throttle that keeps the newest', () => {
  it('shows the first at once, then one per interval, and never an old one after a new one', () => {
    const shown: number[] = [];
    const throttle = throttleNewest<number>(200, (value) => shown.push(value));
    for (let value = 0; value < 100; value += 1) {
      throttle.take(value);
      vi.advanceTimersByTime(10);
    }
    expect(shown).toEqual([0, 19, 39, 59, 79, 99]);
    vi.advanceTimersByTime(1000);
    expect(shown).toHaveLength(6);
  });

  it('shows nothing after it was stopped', () => {
    const shown: number[] = [];
    const throttle = throttleNewest<number>(200, (value) => shown.push(value));
    throttle.take(1);
    throttle.take(2);
    throttle.stop();
    vi.advanceTimersByTime(1000);
    expect(shown).toEqual([1]);
  });
});
