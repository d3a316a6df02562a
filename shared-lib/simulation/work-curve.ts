import { createBreakawayCurve } from './breakaway-curve.ts';
import { createEnduranceCurve } from './endurance-curve.ts';
import { createImpactCurve, type Blow, type ImpactCurveInput } from './impact-curve.ts';
import type { SimulatedPull } from './simulated-bench.ts';
import { createStallCurve } from './stall-curve.ts';
import type { TorqueCurve } from './torque-curve.ts';

/** With its hammer held a drive gives this share of what its blows reach. A believable value, no source. */
const STALL_SHARE = 0.25;

export interface WorkCurve {
  readonly curve: TorqueCurve;
  /** How long the curve has begun when the trigger is pulled. */
  readonly beforeS: number;
  readonly ceilingNm: number;
  readonly blows: readonly Blow[];
  readonly releasedAtS: number | null;
  readonly stoppedAtS: number | null;
}

/** The torque of a pull against whatever it is pulled against; all times from the start of the curve. */
export function createWorkCurve({ work, delayS }: SimulatedPull, pull: ImpactCurveInput): WorkCurve {
  const uneventful = { beforeS: 0, blows: [], releasedAtS: null, stoppedAtS: null };
  switch (work?.kind) {
    case undefined: {
      const curve = createImpactCurve(pull);
      return { ...uneventful, curve, ceilingNm: curve.ceilingNm, blows: curve.blows };
    }
    case 'breakaway': {
      const curve = createBreakawayCurve({ ...pull, preloadNm: work.preloadNm, waitS: delayS });
      return { ...uneventful, ...curve, curve, beforeS: delayS };
    }
    case 'endurance': {
      const curve = createEnduranceCurve({ ...pull, chargeS: work.chargeS, fadeShare: work.fadeShare });
      return { ...uneventful, ...curve, curve };
    }
    case 'stall': {
      const { tool, isReverse, runScatter, random, triggerS } = pull;
      const energyJ = tool.blowEnergyJ * (isReverse ? tool.reverseEnergyRatio : 1);
      const ratio = STALL_SHARE * Math.exp(runScatter * random.gaussian());
      const stallNm = ratio * Math.sqrt(2 * energyJ * tool.driveStiffnessNmPerRad);
      const curve = createStallCurve({ stallNm, clutchNm: work.clutchNm, triggerS });
      return { ...uneventful, curve, ceilingNm: stallNm, stoppedAtS: curve.stoppedAtS };
    }
  }
}
