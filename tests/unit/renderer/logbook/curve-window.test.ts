import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  fitWindow,
  shiftWindow,
  stepWindow,
  zoomWindow,
} from '../../../../renderer/logbook/curve/curve-window.ts';

const whole = { fromS: -1, toS: 7 };

describe('stretch of the curve in sight', () => {
  it('halves around its middle', () => {
    expect(zoomWindow({ fromS: 0, toS: 4 }, whole, 0.5, 1000)).toEqual({ fromS: 1, toS: 3 });
  });

  it('moves by a share of its own width and stops at the ends', () => {
    expect(shiftWindow({ fromS: 0, toS: 4 }, whole, 0.5, 1000)).toEqual({ fromS: 2, toS: 6 });
    expect(shiftWindow({ fromS: 2, toS: 6 }, whole, 0.5, 1000)).toEqual({ fromS: 3, toS: 7 });
    expect(shiftWindow({ fromS: 0, toS: 4 }, whole, -0.5, 1000)).toEqual({ fromS: -1, toS: 3 });
  });

  it('is the whole again when it has grown to it', () => {
    expect(zoomWindow({ fromS: 0, toS: 4 }, whole, 2, 1000)).toBeNull();
  });

  it('is never narrower than twenty samples', () => {
    const window = zoomWindow({ fromS: 3, toS: 3.01 }, whole, 0.5, 1000);
    expect(window).toEqual({ fromS: expect.closeTo(2.995, 9), toS: expect.closeTo(3.015, 9) });
  });

  it('always lies inside the whole', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -20, max: 20, noNaN: true }),
        fc.double({ min: 0, max: 20, noNaN: true }),
        (fromS, widthS) => {
          const window = fitWindow({ fromS, toS: fromS + widthS }, whole, 80);
          if (window === null) return;
          expect(window.fromS).toBeGreaterThanOrEqual(whole.fromS - 1e-9);
          expect(window.toS).toBeLessThanOrEqual(whole.toS + 1e-9);
          expect(window.toS).toBeGreaterThan(window.fromS);
        },
      ),
    );
  });

  it('goes by the steps of its buttons, each from where the last one ended', () => {
    const all = { fromS: 0, toS: 8 };
    const closer = stepWindow('closer', all, all, 1000);
    expect(closer).toEqual({ fromS: 2, toS: 6 });
    const later = stepWindow('later', closer ?? all, all, 1000);
    expect(later).toEqual({ fromS: 4, toS: 8 });
    expect(stepWindow('earlier', later ?? all, all, 1000)).toEqual(closer);
    expect(stepWindow('wider', later ?? all, all, 1000)).toBeNull();
    expect(stepWindow('whole', later ?? all, all, 1000)).toBeNull();
  });
});
