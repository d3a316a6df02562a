import { strikesOf, type PullOfTool } from './blows-of-tool.ts';
import {
  createStretchedCurve,
  releaseEndsAfterS,
  releaseS,
  ringingShare,
  type Stretch,
} from './stretched-curve.ts';
import type { TorqueCurve } from './torque-curve.ts';

const blowRiseS = 0.0015;

export interface EnduranceCurveInput extends PullOfTool {
  /** After this time the tool stops by itself. */
  readonly chargeS: number;
  /** Share of the torque that is lost by then. */
  readonly fadeShare: number;
}

export interface EnduranceCurve extends TorqueCurve {
  readonly ceilingNm: number;
  readonly blows: readonly { readonly atS: number; readonly jointNm: number }[];
  /** Null: the trigger was let go before the charge was used up. */
  readonly stoppedAtS: number | null;
}

/**
 * Blow after blow against a brake, which gives way, so that the torque follows the tool as its charge runs down: a blow at
 * t of full energy stands at C (1 - fade t / charge).
 */
export function createEnduranceCurve(input: EnduranceCurveInput): EnduranceCurve {
  const { chargeS, fadeShare, triggerS } = input;
  const endsAtS = Math.min(chargeS, triggerS);
  const { ceilingNm, strikes } = strikesOf({ ...input, triggerS: endsAtS });
  const blows = strikes.map(({ atS, energyShare }) => ({
    atS,
    jointNm: ceilingNm * (1 - (fadeShare * atS) / chargeS) * Math.sqrt(energyShare),
  }));
  const stretches: Stretch[] = blows.map(({ atS, jointNm }) => ({
    fromS: atS,
    levelNm: jointNm,
    ringNm: ringingShare * jointNm,
  }));
  stretches.push({
    fromS: endsAtS,
    levelNm: blows.at(-1)?.jointNm ?? 0,
    levelDecay: 1 / releaseS,
    ringNm: 0,
  });
  const curve = createStretchedCurve(stretches, { endS: endsAtS + releaseEndsAfterS, riseS: blowRiseS });
  return { ...curve, ceilingNm, blows, stoppedAtS: chargeS < triggerS ? chargeS : null };
}
