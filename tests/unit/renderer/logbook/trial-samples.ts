import { readyMadeProfiles } from '../../../../shared-lib/amplifier/amplifier-profile.ts';
import type { SetupAsTested } from '../../../../shared-lib/run-sheet/setup-model.ts';
import type { TrialFigures, TrialRecord, TrialSummary } from '../../../../shared-lib/trial/trial-model.ts';
import { otherFigures, outsideOfSheet, unmarked } from '../../../helpers/trial-defaults.ts';

const [, sequenceProfile] = readyMadeProfiles;
if (sequenceProfile === undefined) throw new Error('There are ready-made profiles.');

export const demoSetup: SetupAsTested = {
  setupId: 'setup-1',
  toolId: 'tool-1',
  toolName: 'Hollin H5',
  supply: 'battery',
  declaredVibrationMps2: 12.5,
  declaredNoiseDbA: 101,
  packId: 'pack-2',
  packName: 'pack 2',
  packCapacityAh: 5,
  setting: 'mode 3',
  socket: { name: 'impact socket 24', massKg: 0.31, lengthM: 0.078 },
};

/** Invented (demo) trials for the mappings from what is stored to what is shown. */
export const demoSummary: TrialSummary = {
  id: 'demo-1',
  sessionId: 'session-1',
  startedAt: '2026-03-04T10:20:30.000Z',
  step: { toolName: 'Hollin H5', kind: 'tighten', direction: 'forward', plannedS: 5 },
  state: 'kept',
  isVoided: false,
  isSimulated: true,
  qualityVerdict: 'good',
  sustainedTorqueNm: 412.34,
  suspicion: null,
  ...unmarked,
};

export const demoFigures: TrialFigures = {
  definitionVersion: 1,
  calibrationId: 'calibration-1',
  sampleRateHz: 1000,
  windowS: 0.101,
  onsetLevelNm: 10,
  onsetS: 1.002,
  sustainedTorqueNm: { value: 412.34 },
  finalTorqueNm: { value: 405.6 },
  torqueAt: [
    { atS: 1, torqueNm: { value: 390 } },
    { atS: 5, torqueNm: { refused: 'The record ends before 5 s.' } },
  ],
  timeToLevel: [
    { levelNm: 300, timeS: 0.4321 },
    { levelNm: 600, timeS: null },
  ],
  timeTo90PercentS: { value: 0.87 },
  highestReadingNm: { value: 455.5 },
  ...otherFigures,
  quality: { verdict: 'good', reasons: [] },
};

export const demoRecord: TrialRecord = {
  summary: demoSummary,
  conditions: {
    transducer: {
      id: 'transducer-1',
      name: 'Demo transducer',
      isSimulated: true,
      capacityNm: 1000,
      rigLimitNm: null,
      rigUnloading: 'holds',
      rigRevision: '',
      senseSign: 1,
      senseConfirmedAt: '2026-03-04T10:00:00.000Z',
      activeCalibrationId: 'calibration-1',
    },
    calibrationId: 'calibration-1',
    amplifierId: null,
    amplifierName: null,
    profile: sequenceProfile,
    clockSource: 'sequence',
    zeroCounts: 120.5,
    noiseNm: 0.05,
    onsetLevelNm: 10,
    softwareVersion: '0.1.0',
    definitionVersion: 1,
    ...outsideOfSheet,
  },
  onsetSlot: 1002,
  slotCount: 7000,
  lostSlots: 0,
  sampleRateHz: 999.987,
  rateResidualUs: 41.6,
  rateStandardErrorHz: 0.0021,
  zeroAfterCounts: null,
  interruption: null,
  figures: demoFigures,
  undecidedQuality: null,
  faults: [],
  decisions: [],
  assignments: [],
  annotations: [],
  relabellings: [],
  evaluations: [],
};
