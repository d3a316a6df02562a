import { describe, expect, it } from 'vitest';
import { benchSizes } from '../../../../renderer/bench/bench-sizes.ts';

const CAPITAL_SHARE = 0.727;

describe('benchSizes', () => {
  it('gives about 90 px for what is next and 270 px for the figure on an unmeasured 1080p screen', () => {
    const { stepPx, figurePx, targetPx } = benchSizes({
      widthPx: 1920,
      heightPx: 1080,
      screenPxPerMm: null,
    });
    expect(stepPx).toBeGreaterThanOrEqual(90);
    expect(figurePx).toBeGreaterThanOrEqual(265);
    expect(targetPx).toBeGreaterThanOrEqual(80);
  });

  it('gives true millimetres on a measured screen with room for them', () => {
    const pxPerMm = 3.5;
    const { stepPx, figurePx, targetPx } = benchSizes({
      widthPx: 2560,
      heightPx: 1440,
      screenPxPerMm: pxPerMm,
    });
    expect((stepPx * CAPITAL_SHARE) / pxPerMm).toBeCloseTo(18, 0);
    expect((figurePx * CAPITAL_SHARE) / pxPerMm).toBeCloseTo(52, 0);
    expect(targetPx / pxPerMm).toBeCloseTo(22, 0);
  });

  it('gives a small window its share, so that the curve keeps its place', () => {
    const { stepPx, figurePx } = benchSizes({ widthPx: 1024, heightPx: 640, screenPxPerMm: 8 });
    expect(figurePx).toBeLessThanOrEqual(0.27 * 640);
    expect(stepPx).toBeLessThanOrEqual(0.09 * 640);
  });
});
