import { gainOfBlow, strikesOf, type PullOfTool } from './blows-of-tool.ts';
import {
  createStretchedCurve,
  releaseEndsAfterS,
  releaseS,
  ringingShare,
  type Stretch,
} from './stretched-curve.ts';
import type { TorqueCurve } from './torque-curve.ts';

/** The joint takes up a blow within about this time. */
const blowRiseS = 0.0015;
/** On a rig that holds, the simulated operator loosens the joint this long after the trigger. */
const heldS = 5;

export interface ImpactCurveInput extends PullOfTool {
  readonly rigUnloading: 'holds' | 'releases';
}

export interface Blow {
  readonly atS: number;
  /** Torque in the joint once it has taken up the blow. */
  readonly jointNm: number;
}

export interface ImpactCurve extends TorqueCurve {
  /** The torque this run would reach with blows of full energy without end. */
  readonly ceilingNm: number;
  readonly blows: readonly Blow[];
}

/**
 * Blow after blow of one pull. A blow of energy E against a joint that already stands at T first winds the drive train
 * up to T (T^2 / 2k comes back to the hammer); of what is left, friction takes its share and the rest turns the joint,
 * whose torque grows with the angle (stiffness c): T'^2 = T^2 + 2 c (1 - friction) (E - T^2 / 2k).
 * With the ceiling C = sqrt(2 E k) and a = (1 - friction) c / k, n equal blows reach C sqrt(1 - (1 - a)^n).
 * A blow that is too weak to turn the joint leaves it where it is.
 */
export function createImpactCurve(input: ImpactCurveInput): ImpactCurve {
  const { ceilingNm, strikes } = strikesOf(input);
  const gain = gainOfBlow(input.tool);
  let squaredNm = 0;
  const blows = strikes.map(({ atS, energyShare }) => {
    squaredNm += gain * Math.max(0, energyShare * ceilingNm ** 2 - squaredNm);
    return { atS, jointNm: Math.sqrt(squaredNm) };
  });
  const looseAtS = input.triggerS + (input.rigUnloading === 'holds' ? heldS : 0);
  const stretches: Stretch[] = blows.map(({ atS, jointNm }) => ({
    fromS: atS,
    levelNm: jointNm,
    ringNm: ringingShare * jointNm,
  }));
  stretches.push({
    fromS: looseAtS,
    levelNm: blows.at(-1)?.jointNm ?? 0,
    levelDecay: 1 / releaseS,
    ringNm: 0,
  });
  const curve = createStretchedCurve(stretches, { endS: looseAtS + releaseEndsAfterS, riseS: blowRiseS });
  return { ...curve, ceilingNm, blows };
}
