import { describe, expect, it } from 'vitest';
import { createRingingWatch, type RingingWatch } from '../../../../main/bench/ringing-watch.ts';

const RATE_HZ = 1000;
const CAPACITY_NM = 500;
const BLOCK = 20;

/** Ten thousand counts to the N m, a count of noise. */
function feeder(watch: RingingWatch) {
  let slot = 0;
  return (torqueNm: (slot: number) => number, seconds: number, gapAt: number | null = null, segment = 1) => {
    const end = slot + seconds * RATE_HZ;
    for (; slot < end; slot += BLOCK) {
      const values = Float64Array.from({ length: BLOCK }, (_, i) => torqueNm(slot + i) + (i % 2) * 1e-4);
      const gaps =
        gapAt !== null && gapAt >= slot && gapAt < slot + BLOCK ? [{ offset: gapAt - slot, length: 1 }] : [];
      for (const { offset } of gaps) values[offset] = Number.NaN;
      const counts = Int32Array.from(values, (value) => (Number.isNaN(value) ? 0 : Math.round(value * 1e4)));
      watch.receive({
        block: { segment, firstSlot: slot, counts, gaps, arrivalUs: (slot + BLOCK) * 1000 },
        torqueNm: values,
      });
    }
  };
}

const start = (watch: RingingWatch) =>
  watch.start({ sampleRateHz: RATE_HZ, capacityNm: CAPACITY_NM, nowUs: 0 });
const rest = (): number => 0;
/** 20 N m at slot 2007, ringing at 40 Hz. */
const tap = (slot: number): number =>
  slot < 2007
    ? 0
    : 20 * Math.exp(-(slot - 2007) / 80) * Math.cos((2 * Math.PI * 40 * (slot - 2007)) / RATE_HZ);

describe('the watch for a tap', () => {
  it('keeps half a second before the tap and two and a half after it', async () => {
    const watch = createRingingWatch();
    const watched = start(watch);
    const feed = feeder(watch);
    feed(tap, 4.5);
    expect(watch.isWatching()).toBe(true);
    feed(tap, 0.1);
    const { counts, tapSlot } = await watched;
    expect([counts.length, tapSlot]).toEqual([3000, 500]);
    expect(counts[tapSlot]).toBe(Math.round(1e4 * (20 + 1e-4)));
    expect(Math.max(...counts.subarray(0, tapSlot))).toBeLessThanOrEqual(1);
    expect(watch.isWatching()).toBe(false);
  });

  it('takes a weight that is let go for a tap as well', async () => {
    const watch = createRingingWatch();
    const watched = start(watch);
    feeder(watch)((slot) => (slot < 1000 ? 50 : 0), 3.6);
    expect((await watched).tapSlot).toBe(500);
  });

  it('waits for rest first: a bar that is still moving is no tap', async () => {
    const watch = createRingingWatch();
    const watched = start(watch);
    const feed = feeder(watch);
    feed((slot) => 30 * Math.sin(slot / 50), 2);
    feed(rest, 1);
    feed((slot) => (slot === 3100 ? 15 : 0), 3);
    expect((await watched).tapSlot).toBe(500);
  });

  it('keeps nothing where a sample of the answer was lost', async () => {
    const watch = createRingingWatch();
    const watched = start(watch);
    feeder(watch)(tap, 4.6, 2500);
    await expect(watched).rejects.toMatchObject({ code: 'amplifier-silent' });
    expect(watch.isWatching()).toBe(false);
  });

  it('gives up after 15 s without a tap', async () => {
    const watch = createRingingWatch();
    const watched = start(watch);
    feeder(watch)(rest, 2);
    watch.tick(14_999_999);
    expect(watch.isWatching()).toBe(true);
    watch.tick(15_000_000);
    await expect(watched).rejects.toMatchObject({ code: 'no-onset' });
  });

  it('gives up where the samples stop after the tap, or begin anew', async () => {
    const silent = createRingingWatch();
    const first = start(silent);
    feeder(silent)(tap, 2.2);
    silent.tick(8_000_000);
    expect(silent.isWatching()).toBe(true);
    silent.tick(9_000_000);
    await expect(first).rejects.toMatchObject({ code: 'amplifier-silent' });

    const reset = createRingingWatch();
    const second = start(reset);
    const feed = feeder(reset);
    feed(tap, 2.2);
    feed(tap, 0.1, null, 2);
    await expect(second).rejects.toMatchObject({ code: 'connection-lost' });
  });

  it('waits for one tap at a time', async () => {
    const watch = createRingingWatch();
    const watched = start(watch);
    expect(() => start(watch)).toThrow(expect.objectContaining({ code: 'invalid-state' }));
    watch.amplifierLost();
    await expect(watched).rejects.toMatchObject({ code: 'connection-lost' });
  });
});
