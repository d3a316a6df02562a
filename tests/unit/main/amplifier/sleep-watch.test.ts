import { describe, expect, it } from 'vitest';
import { createSleepWatch } from '../../../../main/amplifier/sleep-watch.ts';

const S = 1e6;

describe('the watch for a computer that slept', () => {
  it('finds a wall clock that went on while the monotonic clock stood still', () => {
    const watch = createSleepWatch();
    expect(watch.tick(10 * S, 1000_000)).toBeNull();
    expect(watch.tick(10.05 * S, 1000_050)).toBeNull();
    expect(watch.tick(10.1 * S, 1000_100 + 3600_000)).toBe(3600);
    expect(watch.tick(10.15 * S, 1000_150 + 3600_000)).toBeNull();
  });

  it('takes two seconds of difference for the clock being set, not for sleep', () => {
    const watch = createSleepWatch();
    watch.tick(0, 0);
    expect(watch.tick(0.05 * S, 1900)).toBeNull();
  });

  it('takes a wall clock that was set back for nothing', () => {
    const watch = createSleepWatch();
    watch.tick(0, 8 * 3600_000);
    expect(watch.tick(0.05 * S, 6 * 3600_000)).toBeNull();
    expect(watch.tick(0.1 * S, 6 * 3600_000 + 50)).toBeNull();
  });

  it('adds no small differences up', () => {
    const watch = createSleepWatch();
    for (let tick = 0; tick < 200; tick += 1) expect(watch.tick(tick * 0.05 * S, tick * 150)).toBeNull();
  });

  it('finds a late tick of a reader that read nothing meanwhile, one tick later', () => {
    const watch = createSleepWatch();
    watch.tick(0, 0);
    watch.arrived(0.03 * S);
    expect(watch.tick(30 * S, 30_000)).toBeNull();
    watch.arrived(29.99 * S);
    expect(watch.tick(30.05 * S, 30_050)).toBe(30);
    expect(watch.tick(30.1 * S, 30_100)).toBeNull();
  });

  it('takes a late tick for a busy program where the reader went on reading', () => {
    const watch = createSleepWatch();
    watch.tick(0, 0);
    expect(watch.tick(30 * S, 30_000)).toBeNull();
    watch.arrived(12 * S);
    expect(watch.tick(30.05 * S, 30_050)).toBeNull();
  });
});
