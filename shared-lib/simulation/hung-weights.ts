/** How hung weights and the transducer under them behave. Plain data; what is left out is zero. */
export interface HungWeightsOptions {
  /** Share of a load that creeps on after it was hung, and back after it was taken off, with this time constant. */
  readonly creepShare?: number;
  readonly creepS?: number;
  /** How far half a load reads higher on the way down than on the way up, as a share of the greatest load. */
  readonly hysteresisShare?: number;
  /** Friction in the rig keeps a load so far behind where it came from. */
  readonly frictionNm?: number;
  /** Something slips at the n-th change of load, from 1: every load from then on is less by this share. */
  readonly slip?: { readonly atChange: number; readonly share: number };
}

/** A load that hangs until another one is hung; time in seconds on the clock of whoever asks. */
export interface HungWeights {
  /** The weights that hang from now on; negative torque is reverse. */
  hang(torqueNm: number, atS: number): void;
  /** Integral of the torque from one instant to another, both since the newest change. */
  impulseNmS(fromS: number, toS: number): number;
}

/** A weight is let down by hand rather than dropped, and swings a little. Believable values, no source. */
const SETTLE_S = 0.12;
const SWING_SHARE = 0.04;
const SWING_DECAY_S = 0.2;
const SWING_RAD_PER_S = 2 * Math.PI * 3;
const CREEP_S = 60;

/**
 * After a change at 0 the load goes from what it was to what it will be as exp(-t / 0.12 s), with a swing that dies away as
 * exp(-t / 0.2 s), and creeps on from there: everything is within a thousandth of the step after a second. In closed form,
 * so that samples are means over their periods.
 */
export function createHungWeights(options: HungWeightsOptions = {}): HungWeights {
  const { creepShare = 0, creepS = CREEP_S, hysteresisShare = 0, frictionNm = 0, slip } = options;
  let changeCount = 0;
  let hungNm = 0;
  let greatestNm = 0;
  let changedAtS = 0;
  let restNm = 0;
  let settlingNm = 0;
  let swingNm = 0;
  let creptNm = 0;
  let creepingNm = 0;

  const elasticAt = (u: number): number =>
    restNm +
    settlingNm * Math.exp(-u / SETTLE_S) +
    swingNm * Math.exp(-u / SWING_DECAY_S) * Math.sin(SWING_RAD_PER_S * u);
  const creepAt = (u: number): number => creptNm + creepingNm * Math.exp(-u / creepS);

  /** What the transducer is brought to by a load, once it is at rest. */
  const restOf = (torqueNm: number): number => {
    const direction = Math.sign(torqueNm - hungNm);
    const isUnloading = Math.abs(torqueNm) < Math.abs(hungNm);
    if (!isUnloading) greatestNm = torqueNm;
    const share = greatestNm === 0 ? 0 : torqueNm / greatestNm;
    // A parabola over the loop: nothing at both ends, the whole at half the load.
    const hysteresisNm = isUnloading ? 4 * share * (1 - share) * hysteresisShare * greatestNm : 0;
    return torqueNm + hysteresisNm - direction * frictionNm;
  };

  const swingIntegral = (u: number): number => {
    const decay = 1 / SWING_DECAY_S;
    const turn = SWING_RAD_PER_S * u;
    const whole = SWING_RAD_PER_S / (decay ** 2 + SWING_RAD_PER_S ** 2);
    return (
      whole -
      (Math.exp(-u * decay) * (decay * Math.sin(turn) + SWING_RAD_PER_S * Math.cos(turn))) /
        (decay ** 2 + SWING_RAD_PER_S ** 2)
    );
  };
  const impulseUntil = (u: number): number =>
    (restNm + creptNm) * u +
    settlingNm * SETTLE_S * (1 - Math.exp(-u / SETTLE_S)) +
    swingNm * swingIntegral(u) +
    creepingNm * creepS * (1 - Math.exp(-u / creepS));

  return {
    hang(torqueNm, atS) {
      changeCount += 1;
      const isSlipped = slip !== undefined && changeCount >= slip.atChange;
      const wantedNm = isSlipped ? torqueNm * (1 - slip.share) : torqueNm;
      const u = atS - changedAtS;
      const elasticNm = elasticAt(u);
      const crept = creepAt(u);
      restNm = restOf(wantedNm);
      settlingNm = elasticNm - restNm;
      swingNm = SWING_SHARE * (wantedNm - hungNm);
      creptNm = creepShare * wantedNm;
      creepingNm = crept - creptNm;
      hungNm = wantedNm;
      changedAtS = atS;
    },
    impulseNmS: (fromS, toS) => impulseUntil(toS - changedAtS) - impulseUntil(fromS - changedAtS),
  };
}
