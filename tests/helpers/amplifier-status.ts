import type { AmplifierStatus } from '../../shared-lib/bench-status.ts';

/** No amplifier, and nothing counted yet. */
export const noAmplifier: AmplifierStatus = {
  source: 'none',
  link: 'disconnected',
  amplifierId: null,
  amplifierName: null,
  portPath: null,
  replayedFile: null,
  profileName: null,
  nominalRateHz: null,
  measuredRateHz: null,
  rateResidualUs: null,
  clockSource: null,
  counters: {
    samples: 0,
    badLines: 0,
    badChecksums: 0,
    lostSamples: 0,
    rails: 0,
    duplicateLines: 0,
    beyondRails: 0,
  },
  lastBadLine: null,
  capture: null,
  captureProblem: null,
  problem: null,
};

/** A real one at 80 Sa/s that works. */
export const connectedAmplifier: AmplifierStatus = {
  ...noAmplifier,
  source: 'serial',
  link: 'connected',
  portPath: '/dev/ttyUSB0',
  profileName: 'counts',
  nominalRateHz: 80,
  measuredRateHz: 80,
  clockSource: 'arrival',
};
