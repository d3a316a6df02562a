import type { SeededRandom } from './seeded-random.ts';
import type { SimulatedTool } from './simulated-tool.ts';
import type { TorqueCurve } from './torque-curve.ts';

/** The joint that is tightened and the rig that holds the transducer. Believable values, no source. */
const jointStiffnessNmPerRad = 600;
/** Share of a blow's energy that friction takes before the joint turns. Friction also keeps the joint from turning back. */
const frictionShare = 0.6;
/** The joint takes up a blow within about this time. */
const blowRiseS = 0.0015;
const rigFrequencyRadPerS = 2 * Math.PI * 160;
const rigDecayS = 0.007;
/** The rig's ringing after a blow, as a share of the torque in the joint. */
const ringingShare = 0.25;
const releaseS = 0.06;
/** After 15 time constants 1000 N·m have fallen to 0.0003, less than two counts. */
const releaseEndsAfter = 15;
/** On a rig that holds, the simulated operator loosens the joint this long after the trigger. */
const heldS = 5;
const blowEnergyScatter = 0.02;
const blowIntervalScatter = 0.01;

export interface ImpactCurveInput {
  readonly tool: SimulatedTool;
  readonly isReverse: boolean;
  readonly triggerS: number;
  readonly rigUnloading: 'holds' | 'releases';
  /** Relative standard deviation of a run's ceiling. */
  readonly runScatter: number;
  readonly random: SeededRandom;
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
function strike(input: ImpactCurveInput): { ceilingNm: number; blows: Blow[] } {
  const { tool, random, triggerS } = input;
  const energyRatio = input.isReverse ? tool.reverseEnergyRatio : 1;
  const runRatio = Math.exp(input.runScatter * random.gaussian());
  const ceilingNm = Math.sqrt(2 * tool.blowEnergyJ * energyRatio * tool.driveStiffnessNmPerRad) * runRatio;
  const gain = ((1 - frictionShare) * jointStiffnessNmPerRad) / tool.driveStiffnessNmPerRad;

  const blows: Blow[] = [];
  let squaredNm = 0;
  let atS = tool.spinUpS;
  while (atS <= triggerS) {
    const speed = 1 - Math.exp(-atS / tool.spinUpS);
    const sag = 1 - tool.sagShare * (1 - Math.exp(-atS / tool.sagS));
    const energy = speed ** 2 * sag * Math.max(0, 1 + blowEnergyScatter * random.gaussian());
    squaredNm += gain * Math.max(0, energy * ceilingNm ** 2 - squaredNm);
    blows.push({ atS, jointNm: Math.sqrt(squaredNm) });
    atS += Math.max(0.2, 1 + blowIntervalScatter * random.gaussian()) / (tool.blowRateHz * speed);
  }
  return { ceilingNm, blows };
}

/** Numbers per stretch between two blows; the torque in it is a sum of decaying exponentials that starts anew. */
const STRIDE = 7;
const FROM_S = 0;
const LEVEL_NM = 1;
/** 1/s; 0 while the joint holds. */
const LEVEL_DECAY = 2;
/** What the joint has not taken up yet. */
const DEFICIT_NM = 3;
/** Ringing as the imaginary part of a decaying, turning pointer. */
const RING_RE = 4;
const RING_IM = 5;
/** Integral up to the start of the stretch. */
const IMPULSE_NMS = 6;

const ringDecay = 1 / rigDecayS;
const ringSquare = ringDecay ** 2 + rigFrequencyRadPerS ** 2;

export function createImpactCurve(input: ImpactCurveInput): ImpactCurve {
  const { ceilingNm, blows } = strike(input);
  const looseAtS = input.triggerS + (input.rigUnloading === 'holds' ? heldS : 0);
  const endS = looseAtS + releaseEndsAfter * releaseS;
  const stretchCount = blows.length + 1;
  const stretches = new Float64Array(STRIDE * stretchCount);
  const value = (stretch: number, what: number) => stretches[stretch * STRIDE + what] ?? 0;

  function torqueInStretch(stretch: number, u: number): number {
    const turn = rigFrequencyRadPerS * u;
    return (
      value(stretch, LEVEL_NM) * Math.exp(-value(stretch, LEVEL_DECAY) * u) -
      value(stretch, DEFICIT_NM) * Math.exp(-u / blowRiseS) +
      Math.exp(-u * ringDecay) *
        (value(stretch, RING_RE) * Math.sin(turn) + value(stretch, RING_IM) * Math.cos(turn))
    );
  }

  function impulseInStretch(stretch: number, u: number): number {
    const decay = value(stretch, LEVEL_DECAY);
    const level = value(stretch, LEVEL_NM) * (decay === 0 ? u : (1 - Math.exp(-decay * u)) / decay);
    const deficit = value(stretch, DEFICIT_NM) * blowRiseS * (1 - Math.exp(-u / blowRiseS));
    // Integral of exp(m u), m = -decay + i frequency: (exp(m u) - 1) / m.
    const shrink = Math.exp(-u * ringDecay);
    const re = shrink * Math.cos(rigFrequencyRadPerS * u) - 1;
    const im = shrink * Math.sin(rigFrequencyRadPerS * u);
    const integralRe = (rigFrequencyRadPerS * im - ringDecay * re) / ringSquare;
    const integralIm = (-rigFrequencyRadPerS * re - ringDecay * im) / ringSquare;
    const ringing = value(stretch, RING_RE) * integralIm + value(stretch, RING_IM) * integralRe;
    return value(stretch, IMPULSE_NMS) + level - deficit + ringing;
  }

  function beginStretch(stretch: number, fromS: number, levelNm: number, levelDecay: number, ringNm: number) {
    const at = stretch * STRIDE;
    stretches[at + FROM_S] = fromS;
    stretches[at + LEVEL_NM] = levelNm;
    stretches[at + LEVEL_DECAY] = levelDecay;
    stretches[at + DEFICIT_NM] = levelNm;
    stretches[at + RING_RE] = ringNm;
    if (stretch === 0) return;

    const before = stretch - 1;
    const u = fromS - value(before, FROM_S);
    const shrink = Math.exp(-u * ringDecay);
    const cos = shrink * Math.cos(rigFrequencyRadPerS * u);
    const sin = shrink * Math.sin(rigFrequencyRadPerS * u);
    const stepNm = levelNm - value(before, LEVEL_NM);
    stretches[at + DEFICIT_NM] = stepNm + value(before, DEFICIT_NM) * Math.exp(-u / blowRiseS);
    stretches[at + RING_RE] = ringNm + value(before, RING_RE) * cos - value(before, RING_IM) * sin;
    stretches[at + RING_IM] = value(before, RING_RE) * sin + value(before, RING_IM) * cos;
    stretches[at + IMPULSE_NMS] = impulseInStretch(before, u);
  }

  blows.forEach(({ atS, jointNm }, index) => beginStretch(index, atS, jointNm, 0, ringingShare * jointNm));
  beginStretch(blows.length, looseAtS, blows.at(-1)?.jointNm ?? 0, 1 / releaseS, 0);

  let latest = 0;
  function stretchAt(atS: number): number {
    // Samples come in order: the stretch is nearly always the latest one or the next.
    if (atS < value(latest, FROM_S)) latest = 0;
    while (latest + 1 < stretchCount && atS >= value(latest + 1, FROM_S)) latest += 1;
    return latest;
  }

  return {
    ceilingNm,
    blows,
    endS,
    torqueNm(atS) {
      if (atS < value(0, FROM_S) || atS >= endS) return 0;
      const stretch = stretchAt(atS);
      return torqueInStretch(stretch, atS - value(stretch, FROM_S));
    },
    impulseNmS(atS) {
      if (atS < value(0, FROM_S)) return 0;
      const t = Math.min(atS, endS);
      const stretch = stretchAt(t);
      return impulseInStretch(stretch, t - value(stretch, FROM_S));
    },
  };
}
