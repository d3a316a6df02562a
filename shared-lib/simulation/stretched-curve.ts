import type { TorqueCurve } from './torque-curve.ts';

/** The rig that holds the transducer. Believable values, no source. */
const rigFrequencyRadPerS = 2 * Math.PI * 160;
const rigDecayS = 0.007;
/** The rig's ringing after a blow, as a share of the torque in the joint. */
export const ringingShare = 0.25;
/** How fast torque goes that nothing holds any more, and when it is over: 1000 N·m have fallen to 0.0003 by then. */
export const releaseS = 0.06;
export const releaseEndsAfterS = 15 * releaseS;

/** From one event to the next. */
export interface Stretch {
  readonly fromS: number;
  readonly levelNm: number;
  /** 1/s; left out while the level stays. Only the last stretch of a curve may have one. */
  readonly levelDecay?: number;
  /** What the rig begins to ring with. */
  readonly ringNm: number;
  /** On top of the level at once, and gone again as the joint takes up a blow. */
  readonly pulseNm?: number;
}

/** Numbers per stretch; the torque in it is a sum of decaying exponentials that starts anew. */
const STRIDE = 7;
const FROM_S = 0;
const LEVEL_NM = 1;
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

/**
 * A torque that goes from level to level: to each as exp(-t / riseS), with the rig ringing on and what was left of the
 * stretch before dying away. At least one stretch, in order of time; zero before the first.
 */
export function createStretchedCurve(
  given: readonly Stretch[],
  { endS, riseS }: { readonly endS: number; readonly riseS: number },
): TorqueCurve {
  const stretchCount = given.length;
  const stretches = new Float64Array(STRIDE * stretchCount);
  const value = (stretch: number, what: number) => stretches[stretch * STRIDE + what] ?? 0;

  function torqueInStretch(stretch: number, u: number): number {
    const turn = rigFrequencyRadPerS * u;
    return (
      value(stretch, LEVEL_NM) * Math.exp(-value(stretch, LEVEL_DECAY) * u) -
      value(stretch, DEFICIT_NM) * Math.exp(-u / riseS) +
      Math.exp(-u * ringDecay) *
        (value(stretch, RING_RE) * Math.sin(turn) + value(stretch, RING_IM) * Math.cos(turn))
    );
  }

  function impulseInStretch(stretch: number, u: number): number {
    const decay = value(stretch, LEVEL_DECAY);
    const level = value(stretch, LEVEL_NM) * (decay === 0 ? u : (1 - Math.exp(-decay * u)) / decay);
    const deficit = value(stretch, DEFICIT_NM) * riseS * (1 - Math.exp(-u / riseS));
    // Integral of exp(m u), m = -decay + i frequency: (exp(m u) - 1) / m.
    const shrink = Math.exp(-u * ringDecay);
    const re = shrink * Math.cos(rigFrequencyRadPerS * u) - 1;
    const im = shrink * Math.sin(rigFrequencyRadPerS * u);
    const integralRe = (rigFrequencyRadPerS * im - ringDecay * re) / ringSquare;
    const integralIm = (-rigFrequencyRadPerS * re - ringDecay * im) / ringSquare;
    const ringing = value(stretch, RING_RE) * integralIm + value(stretch, RING_IM) * integralRe;
    return value(stretch, IMPULSE_NMS) + level - deficit + ringing;
  }

  given.forEach(({ fromS, levelNm, levelDecay = 0, ringNm, pulseNm = 0 }, stretch) => {
    const at = stretch * STRIDE;
    stretches[at + FROM_S] = fromS;
    stretches[at + LEVEL_NM] = levelNm;
    stretches[at + LEVEL_DECAY] = levelDecay;
    stretches[at + DEFICIT_NM] = levelNm - pulseNm;
    stretches[at + RING_RE] = ringNm;
    if (stretch === 0) return;

    const before = stretch - 1;
    const u = fromS - value(before, FROM_S);
    const shrink = Math.exp(-u * ringDecay);
    const cos = shrink * Math.cos(rigFrequencyRadPerS * u);
    const sin = shrink * Math.sin(rigFrequencyRadPerS * u);
    const stepNm = levelNm - value(before, LEVEL_NM);
    stretches[at + DEFICIT_NM] = stepNm + value(before, DEFICIT_NM) * Math.exp(-u / riseS) - pulseNm;
    stretches[at + RING_RE] = ringNm + value(before, RING_RE) * cos - value(before, RING_IM) * sin;
    stretches[at + RING_IM] = value(before, RING_RE) * sin + value(before, RING_IM) * cos;
    stretches[at + IMPULSE_NMS] = impulseInStretch(before, u);
  });

  let latest = 0;
  function stretchAt(atS: number): number {
    // Samples come in order: the stretch is nearly always the latest one or the next.
    if (atS < value(latest, FROM_S)) latest = 0;
    while (latest + 1 < stretchCount && atS >= value(latest + 1, FROM_S)) latest += 1;
    return latest;
  }

  return {
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
