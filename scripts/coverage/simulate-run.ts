import { appliedTorque } from '../../shared-lib/calibration/applied-torque.ts';
import { planRun } from '../../shared-lib/calibration/plan-run.ts';
import { signedTorqueNm } from '../../shared-lib/calibration/run-scale.ts';
import type { PlannedReading, RunSetup, TakenReading } from '../../shared-lib/calibration/run-model.ts';
import type { Arm, StatedUncertainty, Weight } from '../../shared-lib/calibration/standards-model.ts';
import { massUncertaintyKg } from '../../shared-lib/calibration/weight-limits.ts';
import type { SeededRandom } from '../../shared-lib/simulation/seeded-random.ts';

/** A transducer and a rig whose truth is known. */
export interface TrueBench {
  readonly countsPerNm: number;
  /** Deflection at the greatest torque lies so much off the line, as a share. */
  readonly bend: number;
  /** Relative standard deviation of the gain from mounting to mounting. */
  readonly mountingScatter: number;
  /** Standard deviation of a reading. */
  readonly noiseCounts: number;
  /** By how much a reading fluctuates while it is taken; a load that is hung again differs by more. */
  readonly fluctuationCounts: number;
  /** Greatest difference between unloading and loading, as a share of the greatest deflection. */
  readonly reversibility: number;
  /** The zero moves by so much from one reading to the next. */
  readonly driftCounts: number;
}

/** What goes wrong in a run without being entered. */
export type Slip =
  | { readonly kind: 'none' }
  /** From this reading of an increasing series on the weight is missing. */
  | { readonly kind: 'slippedWeight'; readonly share: number }
  | { readonly kind: 'wrongArm'; readonly relative: number }
  | { readonly kind: 'drift'; readonly shareOfTop: number };

export interface SimulatedRun {
  readonly readings: PlannedReading[];
  readonly taken: TakenReading[];
  /** The bench's own curve, mountings and noise left out: counts at a signed torque. */
  readonly trueCounts: (torqueNm: number) => number;
  /** A reading on the bench after another mounting. */
  readonly benchCounts: (torqueNm: number) => number;
}

/** A run through `setup` with true weights, arm and gravity drawn from what is stated of them. */
export function simulateRun(
  setup: RunSetup,
  bench: TrueBench,
  slip: Slip,
  random: SeededRandom,
): SimulatedRun {
  const stated = (arm: Arm): number[] =>
    setup.levels.map((weights) => appliedTorque({ weights, arm, site: setup.site, way: setup.way }).torqueNm);
  const readings = planRun(setup, {
    arm: stated(setup.arm),
    shortArm: setup.shortArm === null ? [] : stated(setup.shortArm),
  });
  const topNm = Math.max(...readings.map(({ torqueNm }) => torqueNm));
  // Weights of one set share their errors.
  const setError = { uniform: 2 * random.uniform() - 1, gaussian: random.gaussian() };
  const actual = (weights: readonly Weight[], arm: Arm): number =>
    actualTorqueNm(setup, weights, arm, setError, slip, draws);
  const draws = {
    armLength: drawError(setup.arm.lengthUncertaintyM, random),
    shortArmLength: setup.shortArm === null ? 0 : drawError(setup.shortArm.lengthUncertaintyM, random),
    gravity: drawError(setup.site.gravityUncertaintyMps2 ?? { kind: 'limit', limit: 1e-4 }, random),
    angleRad: ((2 * random.uniform() - 1) * setup.arm.angleLimitDeg * Math.PI) / 180,
  };
  const mountings = new Map<string, number>();
  const mountingOf = (key: string): number => {
    const known = mountings.get(key) ?? 1 + bench.mountingScatter * random.gaussian();
    mountings.set(key, known);
    return known;
  };
  const curve = (torqueNm: number): number =>
    bench.countsPerNm * torqueNm * (1 + bench.bend * (Math.abs(torqueNm) / topNm));
  const topCounts = curve(topNm);
  const driftCounts =
    slip.kind === 'drift' ? (slip.shareOfTop * topCounts) / readings.length : bench.driftCounts;
  const loaded = readings.filter(({ stage }) => stage === 'increasing');
  const slipped =
    slip.kind === 'slippedWeight' ? loaded[Math.floor(random.uniform() * loaded.length)]?.index : undefined;

  const taken = readings.map((planned): TakenReading => {
    const sign = Math.sign(signedTorqueNm(planned)) || 1;
    const arm = planned.arm === 'shortArm' ? (setup.shortArm ?? setup.arm) : setup.arm;
    const weights = setup.levels[planned.level - 1] ?? [];
    const share = planned.index === slipped && slip.kind === 'slippedWeight' ? 1 - slip.share : 1;
    const torqueNm = planned.level === 0 ? 0 : sign * share * actual(weights, arm);
    const unloading =
      planned.stage === 'decreasing'
        ? sign *
          bench.reversibility *
          topCounts *
          4 *
          (Math.abs(torqueNm) / topNm) *
          (1 - Math.abs(torqueNm) / topNm)
        : 0;
    const meanCounts =
      1234 +
      driftCounts * planned.index +
      mountingOf(`${planned.sense} ${planned.mounting}`) * curve(torqueNm) +
      unloading +
      bench.noiseCounts * random.gaussian();
    return {
      id: planned.index + 1,
      index: planned.index,
      meanCounts,
      standardDeviationCounts: bench.noiseCounts,
      spreadCounts: bench.fluctuationCounts,
      driftCountsPerS: 0,
      sampleCount: 1000,
      durationS: setup.dwellS,
      takenAt: '2026-01-10T09:00:00.000Z',
      by: 'steady',
      flags: [],
    };
  });
  return {
    readings,
    taken,
    trueCounts: curve,
    benchCounts: (torqueNm) =>
      (1 + bench.mountingScatter * random.gaussian()) * curve(torqueNm) +
      bench.noiseCounts * random.gaussian(),
  };
}

function actualTorqueNm(
  setup: RunSetup,
  weights: readonly Weight[],
  arm: Arm,
  setError: { readonly uniform: number; readonly gaussian: number },
  slip: Slip,
  draws: { armLength: number; shortArmLength: number; gravity: number; angleRad: number },
): number {
  const isShort = arm === setup.shortArm;
  const wrong = slip.kind === 'wrongArm' && !isShort ? 1 + slip.relative : 1;
  const trueWeights = weights.map((weight) => {
    const uncertainty = massUncertaintyKg(weight);
    if (uncertainty === null) return weight;
    const error =
      uncertainty.distribution === 'rectangular'
        ? uncertainty.value * setError.uniform
        : uncertainty.standard * setError.gaussian;
    return { ...weight, massKg: weight.massKg + error };
  });
  const { torqueNm, gravityMps2 } = appliedTorque({
    weights: trueWeights.map((weight) => ({
      ...weight,
      tolerance: { kind: 'own', uncertaintyKg: { kind: 'limit', limit: 0 } },
    })),
    arm: {
      ...arm,
      lengthM: wrong * (arm.lengthM + (isShort ? draws.shortArmLength : draws.armLength)),
      angleLimitDeg: 0,
    },
    site: setup.site,
    way: setup.way,
  });
  return torqueNm * Math.cos(draws.angleRad) * (1 + draws.gravity / gravityMps2);
}

function drawError(stated: StatedUncertainty, random: SeededRandom): number {
  return stated.kind === 'limit'
    ? stated.limit * (2 * random.uniform() - 1)
    : (stated.expanded / stated.coverageFactor) * random.gaussian();
}
