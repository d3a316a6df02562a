import type { TorqueCurve } from './torque-curve.ts';

/**
 * A push by hand: swells over the first quarter of its time (raised cosine), is held, and ebbs over the last quarter.
 */
export function createPushCurve(torqueNm: number, durationS: number): TorqueCurve {
  const rampS = durationS / 4;

  /** Integral over the first `u` seconds of a swelling ramp. */
  const swelling = (u: number) => (torqueNm / 2) * (u - (rampS / Math.PI) * Math.sin((Math.PI * u) / rampS));

  return {
    endS: durationS,
    torqueNm(atS) {
      if (atS <= 0 || atS >= durationS) return 0;
      const fromEdgeS = Math.min(atS, durationS - atS, rampS);
      return (torqueNm / 2) * (1 - Math.cos((Math.PI * fromEdgeS) / rampS));
    },
    impulseNmS(atS) {
      const t = Math.min(Math.max(atS, 0), durationS);
      const held = Math.min(Math.max(t - rampS, 0), durationS - 2 * rampS) * torqueNm;
      const ebbing = t > durationS - rampS ? swelling(rampS) - swelling(durationS - t) : 0;
      return swelling(Math.min(t, rampS)) + held + ebbing;
    },
  };
}
