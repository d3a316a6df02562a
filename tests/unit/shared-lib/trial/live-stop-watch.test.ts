import { describe, expect, it } from 'vitest';
import { createLiveStopWatch } from '../../../../shared-lib/trial/live-stop-watch.ts';

const RATE_HZ = 200;

/** Torque over time, in blocks of uneven length; returns for how long it had been gone at the end. */
function goneAfter(
  durationS: number,
  torqueNm: (atS: number) => number,
  { share = 0.5, directionSign = 1 }: { share?: number; directionSign?: 1 | -1 } = {},
): number {
  const watch = createLiveStopWatch({ share, sampleRateHz: RATE_HZ, directionSign });
  const samples = Float64Array.from({ length: Math.round(durationS * RATE_HZ) }, (_, i) =>
    torqueNm(i / RATE_HZ),
  );
  for (let at = 0; at < samples.length; at += 7) watch.push(samples.slice(at, at + 7));
  return watch.goneS();
}

describe('the watch for a tool that stops by itself', () => {
  it('tells for how long the torque has been gone, to a tenth of a second', () => {
    expect(goneAfter(5, (t) => (t < 3 ? 100 : 0))).toBeCloseTo(2, 9);
    expect(goneAfter(5, (t) => (t < 3 ? -100 : 0), { directionSign: -1 })).toBeCloseTo(2, 9);
  });

  it('takes a torque that fades for a tool that goes on, down to the share', () => {
    const fading = (t: number): number => 100 * Math.exp(-t / 2);
    expect(goneAfter(4, fading, { share: 0.1 })).toBe(0);
    expect(goneAfter(6, fading, { share: 0.1 })).toBeGreaterThan(1);
  });

  it('begins anew when the torque comes back, and is not misled by the pauses between blows', () => {
    expect(goneAfter(5, (t) => (t < 2 || t > 4 ? 100 : 0))).toBe(0);
    const blows = (t: number): number => (Math.round(t * RATE_HZ) % 10 < 2 ? 500 : 0);
    expect(goneAfter(5, blows)).toBe(0);
  });

  it('draws nothing from lost samples, nor from torque against the step', () => {
    expect(goneAfter(5, (t) => (t < 3 ? 100 : t < 4 ? Number.NaN : 0))).toBeCloseTo(1, 9);
    expect(goneAfter(5, (t) => (t < 3 ? 100 : -100))).toBeCloseTo(2, 9);
  });
});
