import type { Distributions } from '../../shared-lib/calibration/distributions.ts';
import { createTorqueConverter } from '../../shared-lib/calibration/apply-calibration.ts';
import { evaluateRun } from '../../shared-lib/calibration/evaluate-run.ts';
import type { CalibrationResult } from '../../shared-lib/calibration/result-model.ts';
import type { RunSetup } from '../../shared-lib/calibration/run-model.ts';
import type { StatedUncertainty, Weight } from '../../shared-lib/calibration/standards-model.ts';
import { senseFromResult } from '../../shared-lib/calibration/uncertainty-at.ts';
import { createSeededRandom } from '../../shared-lib/simulation/seeded-random.ts';
import { simulateRun, type SimulatedRun, type Slip, type TrueBench } from './simulate-run.ts';

/** How often the stated interval held the truth, at each step from the lowest up. */
export interface Coverage {
  readonly atCalibration: number[];
  readonly atBench: number[];
}

const STEPS = 6;
const DISC_KG = 5;

/** An invented transducer of some 200 N m with a bend, friction and a zero that drifts. */
const everydayBench: TrueBench = {
  countsPerNm: 4000,
  bend: 0.0008,
  mountingScatter: 0.0004,
  placementScatter: 0.0001,
  noiseCounts: 40,
  fluctuationCounts: 20,
  reversibility: 0.001,
  driftCounts: 2,
};
/** The same as a textbook has it: straight, without friction, a zero that stands still, readings that do not fluctuate. */
const textbookBench: TrueBench = {
  ...everydayBench,
  bend: 0,
  reversibility: 0,
  driftCounts: 0,
  fluctuationCounts: 0,
};

/** Weights of class M1 and an arm with a tolerance: limits, hence rectangular. */
function everydaySetup(series: RunSetup['series'] = 'full'): RunSetup {
  return setupOf(series, (massKg) => ({ kind: 'class', weightClass: massKg === DISC_KG ? 'M1' : 'M2' }), {
    kind: 'limit',
    limit: 0.0002,
  });
}

/** Certificates throughout and an arm that is level: every input is normal. */
function textbookSetup(): RunSetup {
  const certificate = (expanded: number): StatedUncertainty => ({
    kind: 'certificate',
    expanded,
    coverageFactor: 2,
  });
  const setup = setupOf(
    'full',
    () => ({ kind: 'own', uncertaintyKg: certificate(0.0005) }),
    certificate(0.0002),
  );
  return {
    ...setup,
    arm: { ...setup.arm, angleLimitDeg: 0 },
    site: { ...setup.site, gravityUncertaintyMps2: certificate(0.0002) },
  };
}

function setupOf(
  series: RunSetup['series'],
  toleranceOf: (massKg: number) => Weight['tolerance'],
  lengthUncertaintyM: StatedUncertainty,
): RunSetup {
  const discs = Array.from({ length: STEPS }, (_, index): Weight => ({
    id: `disc-${index + 1}`,
    name: `disc ${index + 1} (demo)`,
    massKg: DISC_KG,
    densityKgM3: 7850,
    tolerance: toleranceOf(DISC_KG),
    certificate: 'demo',
    certificateValidUntil: null,
  }));
  const arm = {
    id: 'arm',
    name: 'demo arm',
    lengthM: 0.6,
    lengthUncertaintyM,
    angleDeg: 0,
    angleLimitDeg: 1,
    own: null,
  };
  const isTwoArms = series === 'twoArmLengths';
  return {
    way: isTwoArms ? 'oneWeight' : 'weightsOnArm',
    series,
    senses: ['forward', 'reverse'],
    levels: isTwoArms ? [discs] : discs.map((_, index) => discs.slice(0, index + 1)),
    arm,
    shortArm: isTwoArms ? { ...arm, id: 'short', name: 'short demo arm', lengthM: 0.3 } : null,
    site: {
      id: 'site',
      name: 'demo workshop',
      gravity: { source: 'entered', gravityMps2: 9.81 },
      gravityUncertaintyMps2: { kind: 'limit', limit: 0.0002 },
      air: { source: 'standard' },
    },
    exercises: 3,
    dwellS: 30,
    checks: { creep: false, bending: false, warmUp: false },
    benchTerms: {
      temperatureSpanK: null,
      spanPercentPerK: null,
      zeroPercentOfCapacityPerK: null,
      driftPercent: null,
    },
  };
}

export function everydayCoverage(calibrations: number, distributions: Distributions): Coverage {
  return coverageOf(calibrations, everydaySetup(), everydayBench, distributions);
}

export function textbookCoverage(calibrations: number, distributions: Distributions): Coverage {
  return coverageOf(calibrations, textbookSetup(), textbookBench, distributions);
}

/** A rig that is never mounted again: the truth at the bench is one more series of the same mounting. */
export function onceMountedCoverage(
  series: 'notRemountable' | 'quick',
  calibrations: number,
  distributions: Distributions,
): Coverage {
  const seriesScatter = series === 'quick' ? 0 : 0.0003;
  return coverageOf(
    calibrations,
    everydaySetup(series),
    { ...everydayBench, mountingScatter: 0, seriesScatter },
    distributions,
    (run, torqueNm) => run.sameMountingCounts(torqueNm),
  );
}

export function oneWeightCoverage(calibrations: number, distributions: Distributions): Coverage {
  return coverageOf(
    calibrations,
    everydaySetup('twoArmLengths'),
    { ...everydayBench, reversibility: 0 },
    distributions,
  );
}

function coverageOf(
  calibrations: number,
  setup: RunSetup,
  bench: TrueBench,
  distributions: Distributions,
  furtherCounts = (run: SimulatedRun, torqueNm: number): number => run.benchCounts(torqueNm),
): Coverage {
  const steps = setup.series === 'twoArmLengths' ? 2 : STEPS;
  const held = { atCalibration: new Array<number>(steps).fill(0), atBench: new Array<number>(steps).fill(0) };
  for (let seed = 1; seed <= calibrations; seed += 1) {
    const run = simulateRun(setup, bench, { kind: 'none' }, createSeededRandom(seed, 0));
    const [sense] = evaluate(setup, run, distributions).senses;
    if (sense === undefined) throw new Error('A whole run has a result');
    const converter = createTorqueConverter({
      calibration: { forward: senseFromResult(sense), reverse: null },
      zeroCounts: 0,
      senseSign: 1,
    });
    for (const [step, { torqueNm, atCalibration, atBench }] of sense.steps.entries()) {
      const error = converter.toTorqueNm(run.trueCounts(torqueNm)) - torqueNm;
      if (Math.abs(error) <= atCalibration.expandedNm)
        held.atCalibration[step] = (held.atCalibration[step] ?? 0) + 1;
      const benchError = converter.toTorqueNm(furtherCounts(run, torqueNm)) - torqueNm;
      if (Math.abs(benchError) <= atBench.expandedNm) held.atBench[step] = (held.atBench[step] ?? 0) + 1;
    }
  }
  const share = (counts: readonly number[]): number[] => counts.map((count) => count / calibrations);
  return { atCalibration: share(held.atCalibration), atBench: share(held.atBench) };
}

function evaluate(
  setup: RunSetup,
  { readings, taken }: SimulatedRun,
  distributions: Distributions,
  inUse: { gainNmPerCount: number } | null = null,
): CalibrationResult {
  return evaluateRun(
    {
      setup,
      readings,
      taken,
      overrides: [],
      capacityNm: 250,
      inUse: inUse && { forward: inUse, reverse: null },
    },
    distributions,
  );
}

export interface FlagQuestion {
  readonly slip: Slip;
  /** Findings that would show it. */
  readonly codes: readonly string[];
  readonly series: RunSetup['series'];
  readonly hasCalibrationInUse?: boolean;
}

/** Of so many runs with a slip in them, the share in which a finding shows it; and of as many without. */
export function flaggedShare(
  runs: number,
  { slip, codes, series, hasCalibrationInUse = false }: FlagQuestion,
  distributions: Distributions,
): { readonly flagged: number; readonly falseAlarms: number } {
  const setup = everydaySetup(series);
  const inUse = hasCalibrationInUse ? { gainNmPerCount: 1 / everydayBench.countsPerNm } : null;
  const share = (what: Slip): number => {
    let flagged = 0;
    for (let seed = 1; seed <= runs; seed += 1) {
      const run = simulateRun(setup, everydayBench, what, createSeededRandom(seed, 1));
      const { findings } = evaluate(setup, run, distributions, inUse);
      if (findings.some(({ code }) => codes.includes(code))) flagged += 1;
    }
    return flagged / runs;
  };
  return { flagged: share(slip), falseAlarms: share({ kind: 'none' }) };
}
