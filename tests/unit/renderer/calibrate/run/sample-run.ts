import type {
  CalibrationRun,
  RunProgress,
  RunSetup,
} from '../../../../../shared-lib/calibration/run-model.ts';
import { planRun } from '../../../../../shared-lib/calibration/plan-run.ts';
import type { Arm, Site, Standards, Weight } from '../../../../../shared-lib/calibration/standards-model.ts';

/** Invented standards and runs, for tests of how a run is set up and shown. */
export function sampleWeight(id: string, massKg = 10): Weight {
  return {
    id,
    name: `10 kg ${id}`,
    massKg,
    densityKgM3: 7850,
    tolerance: { kind: 'class', weightClass: 'M1' },
    certificate: '',
    certificateValidUntil: null,
  };
}

export const sampleArm: Arm = {
  id: 'arm',
  name: 'Long arm',
  lengthM: 1,
  lengthUncertaintyM: { kind: 'limit', limit: 0.0002 },
  angleDeg: 0,
  angleLimitDeg: 1,
  own: null,
};

export const sampleSite: Site = {
  id: 'site',
  name: 'Workshop',
  gravity: { source: 'location', latitudeDeg: 50, heightM: 100 },
  gravityUncertaintyMps2: null,
  air: { source: 'standard' },
};

export const sampleStandards: Standards = {
  weights: [sampleWeight('A'), sampleWeight('B'), sampleWeight('C')],
  arms: [sampleArm, { ...sampleArm, id: 'short', name: 'Short arm', lengthM: 0.5 }],
  sites: [sampleSite],
};

export function sampleSetup(change: Partial<RunSetup> = {}): RunSetup {
  return {
    way: 'weightsOnArm',
    series: 'full',
    senses: ['forward', 'reverse'],
    levels: [[sampleWeight('A')], [sampleWeight('A'), sampleWeight('B')]],
    arm: sampleArm,
    shortArm: null,
    site: sampleSite,
    exercises: 3,
    dwellS: 30,
    checks: { creep: false, bending: false, warmUp: false },
    benchTerms: {
      temperatureSpanK: null,
      spanPercentPerK: null,
      zeroPercentOfCapacityPerK: null,
      driftPercent: null,
    },
    ...change,
  };
}

export function sampleRun(change: Partial<CalibrationRun> = {}): CalibrationRun {
  const setup = sampleSetup({ series: 'quick', exercises: 0 });
  return {
    id: 'run',
    transducerId: 'transducer',
    amplifierId: null,
    isSimulated: true,
    setup,
    readings: planRun(setup, { arm: [98.1, 196.1], shortArm: [] }),
    taken: [],
    replaced: [],
    state: 'running',
    nextIndex: 0,
    operator: 'Demo operator',
    startedAt: '2026-01-10T09:00:00.000Z',
    ...change,
  };
}

export function sampleProgress(change: Partial<RunProgress> = {}): RunProgress {
  return {
    runId: 'run',
    index: 0,
    phase: 'settling',
    meanCounts: 500,
    spreadCounts: 4,
    driftCountsPerS: 0.2,
    heldS: 12,
    dwellS: 30,
    flags: [],
    ...change,
  };
}
