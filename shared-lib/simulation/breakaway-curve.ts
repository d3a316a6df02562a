import { gainOfBlow, strikesOf, type PullOfTool } from './blows-of-tool.ts';
import {
  createStretchedCurve,
  releaseEndsAfterS,
  releaseS,
  ringingShare,
  type Stretch,
} from './stretched-curve.ts';
import type { TorqueCurve } from './torque-curve.ts';

/** A blow against a joint that sits fast lasts about this long. Believable values here and below, no source. */
const blowS = 0.003;
const tightenS = 0.5;
const tightenSteps = 10;
/** What was not released the simulated operator loosens this long after the trigger. */
const loosenedAfterS = 1.5;

export interface BreakawayCurveInput extends PullOfTool {
  readonly preloadNm: number;
  /** From the start of the curve to the trigger; the fastener is tightened in the first half second of it. */
  readonly waitS: number;
}

export interface BreakawayCurve extends TorqueCurve {
  readonly ceilingNm: number;
  /** \`jointNm\`: what is stored after the blow. */
  readonly blows: readonly { readonly atS: number; readonly jointNm: number }[];
  /** Null: the tool was too weak, or its time too short. */
  readonly releasedAtS: number | null;
}

/**
 * A preload that blows take out again, positive in the direction of the pull, so that the preload is negative. The blow
 * against a joint is that of impact-curve.ts the other way round: T'^2 = T^2 - 2 c (1 - friction) (E - T^2 / 2k), so that
 * a tool whose ceiling lies under the preload moves nothing, and n equal blows leave C^2 - (C^2 - P^2) (1 + a)^n. At 0 the
 * joint is free and the tool turns it without torque. Each blow also shows by itself for some milliseconds.
 */
export function createBreakawayCurve(input: BreakawayCurveInput): BreakawayCurve {
  const { preloadNm, waitS, tool } = input;
  const { ceilingNm, strikes } = strikesOf(input);
  const gain = gainOfBlow(tool);
  const stretches: Stretch[] = Array.from({ length: tightenSteps }, (_, index) => ({
    fromS: (index * tightenS) / tightenSteps,
    levelNm: (-preloadNm * (index + 1)) / tightenSteps,
    ringNm: 0,
  }));
  const blows: { atS: number; jointNm: number }[] = [];
  let squaredNm = preloadNm ** 2;
  for (const { atS, energyShare } of strikes) {
    if (squaredNm <= 0) break;
    squaredNm -= gain * Math.max(0, energyShare * ceilingNm ** 2 - squaredNm);
    const jointNm = Math.sqrt(Math.max(0, squaredNm));
    const blowNm = ceilingNm * Math.sqrt(energyShare);
    blows.push({ atS: waitS + atS, jointNm });
    stretches.push({
      fromS: waitS + atS,
      levelNm: -jointNm,
      ringNm: ringingShare * blowNm,
      pulseNm: blowNm,
    });
  }
  const last = blows.at(-1);
  const releasedAtS = last && last.jointNm === 0 ? last.atS : null;
  const looseAtS = waitS + input.triggerS + loosenedAfterS;
  stretches.push({
    fromS: looseAtS,
    levelNm: releasedAtS === null ? -(last?.jointNm ?? preloadNm) : 0,
    levelDecay: 1 / releaseS,
    ringNm: 0,
  });
  const curve = createStretchedCurve(stretches, { endS: looseAtS + releaseEndsAfterS, riseS: blowS });
  return { ...curve, ceilingNm, blows, releasedAtS };
}
