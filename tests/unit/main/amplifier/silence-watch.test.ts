import { describe, expect, it } from 'vitest';
import { createSilenceWatch } from '../../../../main/amplifier/silence-watch.ts';

const MS = 1000;

describe('silence', () => {
  it('is told once no line has come for a quarter of a second, and ends with the next with its length', () => {
    const watch = createSilenceWatch();
    watch.restart(1000, 0);
    watch.arrived(100 * MS);
    expect([150, 200, 250, 300, 350].map((atMs) => watch.check(atMs * MS))).not.toContain(true);
    expect(watch.check(400 * MS)).toBe(false);
    expect(watch.check(450 * MS)).toBe(true);
    expect(watch.arrived(700 * MS)).toBe(600);
    expect(watch.check(750 * MS)).toBe(false);
  });

  it('is not told where the program was held up and the lines of that time are read after it', () => {
    const watch = createSilenceWatch();
    watch.restart(1000, 0);
    watch.arrived(100 * MS);
    expect(watch.check(900 * MS)).toBe(false);
    expect(watch.arrived(890 * MS)).toBeNull();
    expect(watch.check(950 * MS)).toBe(false);
  });

  it('takes five periods of a slow amplifier', () => {
    const watch = createSilenceWatch();
    watch.restart(10, 0);
    watch.arrived(0);
    expect([450, 500].map((atMs) => watch.check(atMs * MS))).toEqual([false, false]);
    expect([550, 600].map((atMs) => watch.check(atMs * MS))).toEqual([false, true]);
  });
});
