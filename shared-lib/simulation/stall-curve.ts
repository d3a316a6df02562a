import { releaseEndsAfterS, releaseS } from './stretched-curve.ts';
import type { TorqueCurve } from './torque-curve.ts';

/** How fast a driver winds itself up against what does not turn. A believable value, no source. */
const riseS = 0.12;

export interface StallCurve extends TorqueCurve {
  /** Null: no clutch let go before the trigger was. */
  readonly stoppedAtS: number | null;
}

/**
 * A driver that is held: its torque rises as stall (1 - exp(-t / 0.12 s)) until the trigger is let go, or the clutch does at
 * its setting, and falls off from there as exp(-t / 0.06 s). \`clutchNm\` null, or not under the stall torque: it stands.
 */
export function createStallCurve(input: {
  readonly stallNm: number;
  readonly clutchNm: number | null;
  readonly triggerS: number;
}): StallCurve {
  const { stallNm, clutchNm, triggerS } = input;
  const clutchAtS =
    clutchNm === null || clutchNm >= stallNm
      ? Number.POSITIVE_INFINITY
      : -riseS * Math.log(1 - clutchNm / stallNm);
  const letGoS = Math.min(clutchAtS, triggerS);
  const endS = letGoS + releaseEndsAfterS;
  const rising = (t: number): number => stallNm * (1 - Math.exp(-t / riseS));
  const risingImpulse = (t: number): number => stallNm * (t - riseS * (1 - Math.exp(-t / riseS)));
  const topNm = rising(letGoS);

  return {
    endS,
    stoppedAtS: clutchAtS < triggerS ? clutchAtS : null,
    torqueNm(atS) {
      if (atS <= 0 || atS >= endS) return 0;
      return atS < letGoS ? rising(atS) : topNm * Math.exp(-(atS - letGoS) / releaseS);
    },
    impulseNmS(atS) {
      const t = Math.min(Math.max(atS, 0), endS);
      const falling = Math.max(0, t - letGoS);
      return risingImpulse(Math.min(t, letGoS)) + topNm * releaseS * (1 - Math.exp(-falling / releaseS));
    },
  };
}
