import { describe, expect, it } from 'vitest';
import {
  type Asked,
  createSteadinessWatch,
  type SteadinessWatch,
} from '../../../../shared-lib/calibration/watch-steadiness.ts';
import type { SlotRange } from '../../../../shared-lib/signal/sample-block.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';

const RATE_HZ = 1000;
const DWELL_S = 1;
const nothingChanges: Asked = {
  beforeCounts: null,
  leastChangeCounts: 0,
  allowed: { spreadCounts: 50, driftCounts: 25 },
  creepAtS: null,
};

/** Feeds blocks of 20 ms of what `countsAt` says, with white noise. */
function createFeed(watch: SteadinessWatch, rateHz = RATE_HZ, noiseCounts = 60, seed = 3) {
  const random = createSeededRandom(seed, 0);
  let slot = 0;
  let segment = 1;
  return {
    feed(durationS: number, countsAt: (atS: number) => number, gaps: readonly SlotRange[] = []): void {
      const blockSlots = Math.max(1, Math.round(0.02 * rateHz));
      const end = slot + Math.round(durationS * rateHz);
      const start = slot;
      while (slot < end) {
        const counts = Int32Array.from({ length: blockSlots }, (_, index) =>
          Math.round(countsAt((slot + index - start) / rateHz) + noiseCounts * random.gaussian()),
        );
        watch.push({ segment, firstSlot: slot, counts, gaps, arrivalUs: 0 });
        slot += blockSlots;
      }
    },
    breakSegment(): void {
      segment += 1;
      slot = 0;
    },
  };
}

const still = (counts: number) => (): number => counts;

function watchWith(asked: Asked, dwellS = DWELL_S) {
  const watch = createSteadinessWatch({ sampleRateHz: RATE_HZ, dwellS });
  watch.ask(asked);
  return { watch, ...createFeed(watch) };
}

describe('a reading at rest', () => {
  it('settles for the dwell and is steady then, with the figures of the dwell', () => {
    const { watch, feed } = watchWith(nothingChanges);
    feed(0.5, still(1000));
    expect(watch.state()).toMatchObject({ phase: 'settling', dwellS: 1 });
    expect(watch.state().heldS).toBeCloseTo(0.5, 9);
    feed(0.5, still(1000));
    const { phase, window } = watch.state();
    expect(phase).toBe('steady');
    // The mean of 1000 samples with s = 60 lies within 4 x 60 / sqrt(1000) = 7.6.
    expect(Math.abs((window?.meanCounts ?? 0) - 1000)).toBeLessThan(7.6);
    expect(window).toMatchObject({ sampleCount: 1000, isSpreadWithin: true, isDriftWithin: true });
    expect(window?.durationS).toBeCloseTo(1, 9);
    // Of ten means of 100 samples: 60 / sqrt(100) = 6.
    expect(window?.standardDeviationCounts).toBeGreaterThan(2);
    expect(window?.standardDeviationCounts).toBeLessThan(14);
  });

  it('is seldom taken for restless by its noise alone: at most 5 of 400 dwells', () => {
    let restless = 0;
    for (let seed = 0; seed < 400; seed += 1) {
      const watch = createSteadinessWatch({ sampleRateHz: 200, dwellS: 1 });
      watch.ask({ ...nothingChanges, allowed: { spreadCounts: 0, driftCounts: 0 } });
      createFeed(watch, 200, 500, seed).feed(1, still(0));
      if (watch.state().phase !== 'steady') restless += 1;
    }
    expect(restless).toBeLessThanOrEqual(5);
  });

  it('is judged at ten samples per second too', () => {
    const watch = createSteadinessWatch({ sampleRateHz: 10, dwellS: 0.5 });
    watch.ask(nothingChanges);
    createFeed(watch, 10, 5).feed(1, still(700));
    expect(watch.state().phase).toBe('steady');
    expect(watch.state().window?.meanCounts).toBeCloseTo(700, -1);
  });
});

describe('a reading that does not hold still', () => {
  it('is moving while the load changes, and begins its dwell anew behind that', () => {
    const { watch, feed } = watchWith(nothingChanges);
    feed(0.9, still(1000));
    feed(0.3, (atS) => 1000 + 100_000 * atS);
    expect(watch.state().phase).toBe('moving');
    feed(0.9, still(31_000));
    expect(watch.state().phase).toBe('settling');
    feed(0.2, still(31_000));
    expect(watch.state().phase).toBe('steady');
    expect(watch.state().window?.meanCounts).toBeCloseTo(31_000, -2);
  });

  it('that swings is not steady, and is told after four dwells', () => {
    const { watch, feed } = watchWith(nothingChanges);
    const swing = (atS: number): number => 1000 + 400 * Math.sin(2 * Math.PI * 0.7 * atS);
    feed(3.9, swing);
    expect(watch.state()).toMatchObject({ isNeverSteady: false });
    expect(watch.state().phase).not.toBe('steady');
    feed(0.4, swing);
    expect(watch.state().isNeverSteady).toBe(true);
  });

  it('that drifts beyond its limit is not steady, however little it spreads', () => {
    const { watch, feed } = watchWith({
      ...nothingChanges,
      allowed: { spreadCounts: 1000, driftCounts: 25 },
    });
    feed(3, (atS) => 100 * atS);
    const { phase, window } = watch.state();
    expect(phase).toBe('settling');
    expect(window).toMatchObject({ isSpreadWithin: true, isDriftWithin: false });
    // 100 counts/s; standard error 60 sqrt(12/1000)/1 = 6.6.
    expect(Math.abs((window?.driftCountsPerS ?? 0) - 100)).toBeLessThan(27);
  });
});

describe('a load that has to change', () => {
  const asked: Asked = { ...nothingChanges, beforeCounts: 1000, leastChangeCounts: 300 };

  it('is unchanged for as long as the reading stays where it was, and is never called restless then', () => {
    const { watch, feed } = watchWith(asked);
    feed(10, still(1100));
    expect(watch.state()).toMatchObject({ phase: 'unchanged', heldS: 0, isNeverSteady: false });
  });

  it('counts its dwell from the change on', () => {
    const { watch, feed } = watchWith(asked);
    feed(2, still(1000));
    feed(1.1, still(5000));
    expect(watch.state().phase).toBe('steady');
  });
});

describe('lost samples', () => {
  it('keep their slots: a tenth with a few of them counts, with the samples that are there', () => {
    const { watch, feed } = watchWith(nothingChanges);
    feed(1, still(1000), [{ offset: 3, length: 4 }]);
    const { phase, window } = watch.state();
    expect(phase).toBe('steady');
    expect(window?.sampleCount).toBe(800);
    expect(Math.abs((window?.meanCounts ?? 0) - 1000)).toBeLessThan(9);
  });

  it('begin the dwell anew where most of a tenth is missing, and so does another segment', () => {
    const { watch, feed, breakSegment } = watchWith(nothingChanges);
    feed(0.8, still(1000));
    feed(0.2, still(1000), [{ offset: 0, length: 18 }]);
    feed(0.5, still(1000));
    expect(watch.state().phase).toBe('settling');
    feed(0.6, still(1000));
    expect(watch.state().phase).toBe('steady');
    breakSegment();
    feed(0.9, still(1000));
    expect(watch.state().phase).toBe('settling');
  });
});

describe('creep', () => {
  const allowed = { spreadCounts: 50, driftCounts: 25 };
  const at = (creepAtS: number): Asked => ({ beforeCounts: null, leastChangeCounts: 0, allowed, creepAtS });
  /** 600 counts that creep on with a time constant of a minute, on a load of 100 000. */
  const creeping = (atS: number): number => 100_000 + 600 * (1 - Math.exp(-atS / 60));

  it('is read over the seconds that end at the time asked for, also where the dwell before it took longer', () => {
    const watch = createSteadinessWatch({ sampleRateHz: 100, dwellS: 30 });
    const { feed } = createFeed(watch, 100, 0);
    watch.ask(nothingChanges);
    feed(5, still(0));
    // A little over the limits, so the dwell of the level itself takes longer than 30 s.
    feed(40, creeping);
    watch.ask(at(30));
    const { phase, window } = watch.state();
    expect(phase).toBe('steady');
    const expected = [20, 22, 24, 26, 28, 30].reduce((sum, atS) => sum + creeping(atS) / 6, 0);
    expect(Math.abs((window?.meanCounts ?? 0) - expected)).toBeLessThan(10);
  });

  it('waits until the time has come', () => {
    const watch = createSteadinessWatch({ sampleRateHz: 100, dwellS: 1 });
    const { feed } = createFeed(watch, 100, 0);
    feed(1, still(0));
    watch.ask(at(30));
    feed(29, creeping);
    expect(watch.state()).toMatchObject({ phase: 'settling', dwellS: 30 });
    feed(2, (atS) => creeping(29 + atS));
    expect(watch.state().phase).toBe('steady');
  });

  it('has no time to go by where the load hung from before, or was touched', () => {
    const watch = createSteadinessWatch({ sampleRateHz: 100, dwellS: 1 });
    const { feed } = createFeed(watch, 100, 0);
    watch.ask({ ...nothingChanges, creepAtS: 30 });
    feed(40, still(100_000));
    expect(watch.state()).toMatchObject({ phase: 'settling', loadedS: null });
    feed(2, still(0));
    feed(5, still(100_000));
    expect(watch.state().loadedS).not.toBeNull();
    feed(0.2, still(90_000));
    feed(31, still(100_000));
    expect(watch.state()).toMatchObject({ phase: 'settling', loadedS: null });
  });
});
