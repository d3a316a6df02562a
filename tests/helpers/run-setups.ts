import type { RunSetup } from '../../shared-lib/calibration/run-model.ts';
import type { Arm, Site, Weight } from '../../shared-lib/calibration/standards-model.ts';

/** A demo set of weights, an arm and a site, for tests of guided runs. */
export function demoWeight(massKg: number, id = `weight-${massKg}`): Weight {
  return {
    id,
    name: `${massKg} kg`,
    massKg,
    densityKgM3: 7950,
    tolerance: { kind: 'class', weightClass: 'M1' },
    certificate: 'demo',
    certificateValidUntil: null,
  };
}

export const demoArm: Arm = {
  id: 'arm-500',
  name: 'the 500 mm arm',
  lengthM: 0.5,
  lengthUncertaintyM: { kind: 'limit', limit: 0.0001 },
  angleDeg: 0,
  angleLimitDeg: 0.5,
  own: null,
};

export const demoShortArm: Arm = { ...demoArm, id: 'arm-250', name: 'the 250 mm arm', lengthM: 0.25 };

export const demoSite: Site = {
  id: 'site',
  name: 'Demo workshop',
  gravity: { source: 'entered', gravityMps2: 9.81 },
  gravityUncertaintyMps2: { kind: 'limit', limit: 0.0005 },
  air: { source: 'standard' },
};

/** Stacks of 5 kg discs: level n hangs n of them. */
export function demoSetup(levelCount = 6, change: Partial<RunSetup> = {}): RunSetup {
  const discs = Array.from({ length: levelCount }, (_, index) => ({
    ...demoWeight(5, `disc-${index + 1}`),
    name: `disc ${index + 1}`,
  }));
  return {
    way: 'weightsOnArm',
    series: 'quick',
    senses: ['forward'],
    levels: discs.map((_, index) => discs.slice(0, index + 1)),
    arm: demoArm,
    shortArm: null,
    site: demoSite,
    exercises: 0,
    dwellS: 0.5,
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
