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
  /** The same from series to series of one mounting, and from one hanging of a weight to the next; left out: none. */
  readonly seriesScatter?: number;
  readonly placementScatter?: number;
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
  /** From this reading on, until the arm is mounted again, every load is less. */
  | { readonly kind: 'slippedArm'; readonly share: number }
  | { readonly kind: 'wrongArm'; readonly relative: number }
  | { readonly kind: 'gainDrift'; readonly sharePerReading: number }
  | { readonly kind: 'drift'; readonly shareOfTop: number };

export interface SimulatedRun {
  readonly readings: PlannedReading[];
  readonly taken: TakenReading[];
  /** The bench's own curve, mountings and noise left out: counts at a signed torque. */
  readonly trueCounts: (torqueNm: number) => number;
  /** A reading on the bench, its zero taken off: after another mounting, and anywhere between rising and falling torque. */
  readonly benchCounts: (torqueNm: number) => number;
  /** One more series of the first mounting of a sense that is only ever mounted once. */
  readonly sameMountingCounts: (torqueNm: number) => number;
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
  const gainOf = (key: string, scatter: number): number => {
    const known = mountings.get(key) ?? 1 + scatter * random.gaussian();
    mountings.set(key, known);
    return known;
  };
  const curve = (torqueNm: number): number =>
    bench.countsPerNm * torqueNm * (1 + bench.bend * (Math.abs(torqueNm) / topNm));
  const topCounts = curve(topNm);
  const driftCounts =
    slip.kind === 'drift' ? (slip.shareOfTop * topCounts) / readings.length : bench.driftCounts;
  const oneReading = (torqueNm: number): number =>
    (1 + (bench.seriesScatter ?? 0) * random.gaussian()) *
      (1 + (bench.placementScatter ?? 0) * random.gaussian()) *
      curve(torqueNm) +
    bench.noiseCounts * random.gaussian();
  const loaded = readings.filter(({ stage }) => stage === 'increasing');
  const slipped =
    slip.kind === 'slippedWeight' ? loaded[Math.floor(random.uniform() * loaded.length)]?.index : undefined;

  const turnsAt = slip.kind === 'slippedArm' ? startOfSlip(loaded, random) : undefined;
  const { seriesScatter = 0, placementScatter = 0 } = bench;
  const branchCounts = (torqueNm: number): number => {
    const share = Math.abs(torqueNm) / topNm;
    return Math.sign(torqueNm) * bench.reversibility * topCounts * 4 * share * (1 - share);
  };

  let rising = 0;
  const taken = readings.map((planned): TakenReading => {
    // A falling series has the gain of the rising one before it: nothing was touched in between.
    if (planned.stage === 'increasing') rising = planned.series;
    const sign = Math.sign(signedTorqueNm(planned)) || 1;
    const arm = planned.arm === 'shortArm' ? (setup.shortArm ?? setup.arm) : setup.arm;
    const weights = setup.levels[planned.level - 1] ?? [];
    const share = shareLeft(slip, planned, slipped, turnsAt);
    const torqueNm = planned.level === 0 ? 0 : sign * share * actual(weights, arm);
    const unloading = planned.stage === 'decreasing' ? branchCounts(torqueNm) : 0;
    const gain =
      gainOf(`${planned.sense} ${planned.mounting}`, bench.mountingScatter) *
      gainOf(`${planned.sense} series ${rising}`, seriesScatter) *
      (1 + placementScatter * random.gaussian());
    const meanCounts =
      1234 +
      driftCounts * planned.index +
      gain * curve(torqueNm) +
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
      (1 + bench.mountingScatter * random.gaussian()) * oneReading(torqueNm) +
      random.uniform() * branchCounts(torqueNm),
    sameMountingCounts: (torqueNm) => gainOf('forward 1', bench.mountingScatter) * oneReading(torqueNm),
  };
}

/** Two readings at least lie on either side of it in its series. */
function startOfSlip(loaded: readonly PlannedReading[], random: SeededRandom): PlannedReading | undefined {
  const top = Math.max(...loaded.map(({ level }) => level));
  const inner = loaded.filter(({ level }) => level >= 3 && level <= top - 1);
  return inner[Math.floor(random.uniform() * inner.length)];
}

/** What a slip leaves of a load. */
function shareLeft(
  slip: Slip,
  planned: PlannedReading,
  slipped: number | undefined,
  turnsAt: PlannedReading | undefined,
): number {
  if (slip.kind === 'slippedWeight') return planned.index === slipped ? 1 - slip.share : 1;
  if (slip.kind === 'gainDrift') return 1 + slip.sharePerReading * planned.index;
  if (slip.kind !== 'slippedArm' || turnsAt === undefined) return 1;
  const isAfter =
    planned.sense === turnsAt.sense &&
    planned.mounting === turnsAt.mounting &&
    planned.index >= turnsAt.index;
  return isAfter ? 1 - slip.share : 1;
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
