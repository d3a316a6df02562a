import { defaultBackupRule } from '../../shared-lib/backup/backup-requests.ts';
import type { Settings, TrialCurve } from '../../shared-lib/api-contract.ts';
import type { BenchStatus, LiveCurve } from '../../shared-lib/bench-status.ts';
import type { Step } from '../../shared-lib/trial/step-model.ts';
import type { TrialFigures, TrialSummary } from '../../shared-lib/trial/trial-model.ts';
import { noAmplifier } from './amplifier-status.ts';
import { otherFigures, unmarked } from './trial-defaults.ts';

/** Ready-made states of a bench for tests of the window. Tools and figures are invented. */
export const demoStep: Step = { toolName: 'Hollin H5', kind: 'tighten', direction: 'forward', plannedS: 5 };

export const demoSettings: Settings = {
  torqueUnit: 'Nm',
  theme: 'system',
  operator: 'Demo operator',
  soundVolume: 0.5,
  screenPxPerMm: null,
  levelsNm: [200, 400],
  step: demoStep,
  amplifier: null,
  activeTransducerId: null,
  connectAtStart: 'none',
  runSheetId: null,
  qualityGate: 'goodAndLook',
  currency: 'EUR',
  handlingScale: { one: '', five: '', ten: '' },
  ratesHandlingBlind: false,
  backup: defaultBackupRule,
};

export const readyStatus: BenchStatus = {
  softwareVersion: '0.1.0',
  host: 'browser',
  dataFolder: '/home/demo/proofarm',
  amplifier: {
    ...noAmplifier,
    source: 'simulated',
    link: 'connected',
    profileName: 'sequence, counts',
    nominalRateHz: 1000,
    measuredRateHz: 1000.2,
    clockSource: 'sequence',
    counters: { ...noAmplifier.counters, samples: 120_000 },
  },
  transducer: {
    id: 'demo-transducer',
    name: 'Simulated transducer',
    isSimulated: true,
    capacityNm: 1000,
    rigLimitNm: 900,
    rigUnloading: 'releases',
    rigRevision: '',
    senseSign: 1,
    senseConfirmedAt: '2026-01-10T08:00:00.000Z',
    activeCalibrationId: 'demo-calibration',
  },
  calibration: {
    id: 'demo-calibration',
    label: 'Simulated bench',
    createdAt: '2026-01-10T08:00:00.000Z',
    enteredUncertaintyPercent: 1,
    foundUncertaintyPercent: null,
    hasForward: true,
    hasReverse: true,
    validUntil: null,
    trialsLeft: null,
    isExpired: false,
    check: {
      state: 'none',
      sentence: 'Not checked yet.',
      lastPassedAt: null,
      newestCheckId: null,
      suspectCount: 0,
    },
  },
  zero: { counts: 1234, noiseNm: 0.2, spreadCounts: 40, takenAt: '2026-01-10T09:00:00.000Z' },
  session: {
    id: 'demo-session',
    startedAt: '2026-01-10T09:00:00.000Z',
    isSafetyConfirmed: true,
    keptCount: 3,
    voidedCount: 1,
    triggerS: 18,
    exposurePoints: null,
  },
  storage: { state: 'ok', sentence: null, freeBytes: 4.1e10, hoursLeft: 214 },
  obstacles: [],
  step: demoStep,
  runSheet: null,
  trial: { phase: 'idle', lastProblem: null },
  interruptedTrialIds: [],
  recentFaults: [],
};

export const unconnectedStatus: BenchStatus = {
  ...readyStatus,
  amplifier: noAmplifier,
  transducer: null,
  calibration: null,
  zero: null,
  session: null,
  storage: { state: 'ok', sentence: null, freeBytes: 4.1e10, hoursLeft: null },
  obstacles: [{ code: 'amplifier-not-connected', sentence: 'No amplifier is connected.', remedy: 'setup' }],
};

export const demoFigures: TrialFigures = {
  definitionVersion: 1,
  calibrationId: 'demo-calibration',
  sampleRateHz: 1000,
  windowS: 0.101,
  onsetLevelNm: 10,
  onsetS: 1,
  sustainedTorqueNm: { value: 512.4 },
  finalTorqueNm: { value: 508.9 },
  torqueAt: [
    { atS: 1, torqueNm: { value: 331.2 } },
    { atS: 2, torqueNm: { value: 442.7 } },
    { atS: 3, torqueNm: { value: 486.1 } },
    { atS: 5, torqueNm: { value: 511.3 } },
  ],
  timeToLevel: [
    { levelNm: 200, timeS: 0.52 },
    { levelNm: 400, timeS: 1.56 },
    { levelNm: 700, timeS: null },
  ],
  timeTo90PercentS: { value: 2.31 },
  highestReadingNm: { value: 581.3 },
  ...otherFigures,
  quality: { verdict: 'good', reasons: [] },
};

/** A rise with blows on it: torque in N·m at `timeS` seconds from onset, the load gone 0.3 s after the end. */
export function demoTorqueNm(timeS: number, plannedS: number, plateauNm = 520, blowNm = 45): number {
  if (timeS < 0) return 0.6 * Math.sin(timeS * 210);
  const rise = plateauNm * (1 - Math.exp(-timeS / 1.1));
  const release = timeS <= plannedS + 0.3 ? 1 : Math.exp(-(timeS - plannedS - 0.3) / 0.04);
  return (rise + blowNm * (rise / plateauNm) * Math.sin(timeS * 2 * Math.PI * 17)) * release;
}

/** The live curve from one slot to another at 1 000 Sa/s in bins of five samples, onset at `onsetSlot`. */
export function demoLiveCurve(
  fromSlot: number,
  toSlot: number,
  onsetSlot: number,
  step: Step = demoStep,
): LiveCurve {
  const samplesPerBin = 5;
  const sampleRateHz = 1000;
  const sign = step.direction === 'forward' ? 1 : -1;
  const firstBin = Math.ceil(fromSlot / samplesPerBin);
  const binCount = Math.floor(toSlot / samplesPerBin) - firstBin;
  const at = (slot: number): number =>
    sign * demoTorqueNm((slot - onsetSlot) / sampleRateHz, step.plannedS) + 0.5 * Math.sin(slot * 1.7);
  const min = new Float32Array(binCount);
  const max = new Float32Array(binCount);
  for (let bin = 0; bin < binCount; bin += 1) {
    const values = Array.from({ length: samplesPerBin }, (_, index) =>
      at((firstBin + bin) * samplesPerBin + index),
    );
    min[bin] = Math.min(...values);
    max[bin] = Math.max(...values);
  }
  return {
    generation: 1,
    quantity: 'torqueNm',
    sampleRateHz,
    samplesPerBin,
    firstBin,
    min,
    max,
    latestMean: at(toSlot),
    isOutsideCalibratedRange: false,
  };
}

export function demoTrialCurve(trialId: string, plateauNm: number, step: Step = demoStep): TrialCurve {
  const bins = 600;
  const startS = -1;
  const endS = step.plannedS + 1;
  const binWidthS = (endS - startS) / bins;
  const sign = step.direction === 'forward' ? 1 : -1;
  const timeS = Float64Array.from({ length: bins }, (_, bin) => startS + (bin + 0.5) * binWidthS);
  const smooth = timeS.map((time) => sign * demoTorqueNm(time, step.plannedS, plateauNm, 4));
  return {
    trialId,
    sampleRateHz: 1000,
    startS,
    endS,
    binWidthS,
    binStartS: startS,
    minNm: timeS.map((time) => sign * demoTorqueNm(time, step.plannedS, plateauNm) - 3),
    maxNm: timeS.map((time) => sign * demoTorqueNm(time, step.plannedS, plateauNm) + 3),
    displayNm: smooth,
    displayTimeS: timeS,
    measuringNm: smooth,
    measuringTimeS: timeS,
  };
}

export function demoSummary(id: string, change: Partial<TrialSummary> = {}): TrialSummary {
  return {
    id,
    sessionId: 'demo-session',
    startedAt: '2026-01-10T09:10:00.000Z',
    step: demoStep,
    state: 'kept',
    isVoided: false,
    isSimulated: true,
    qualityVerdict: 'good',
    sustainedTorqueNm: 512.4,
    suspicion: null,
    ...unmarked,
    ...change,
  };
}
