import { readyMadeProfiles } from '../../../../shared-lib/amplifier/amplifier-profile.ts';
import type { CalibrationVersion } from '../../../../shared-lib/calibration/calibration-model.ts';
import { DEFINITION_VERSION } from '../../../../shared-lib/trial/definition-version.ts';
import type { TrialEvaluationInput } from '../../../../shared-lib/trial/evaluate-trial.ts';
import type { Direction, Kind } from '../../../../shared-lib/trial/step-model.ts';
import { outsideOfSheet } from '../../../helpers/trial-defaults.ts';
import { sampleRecord } from './synthetic-run.ts';

export const GAIN_NM_PER_COUNT = 1e-4;
export const ZERO_COUNTS = 2500;

export const calibration: CalibrationVersion = {
  id: 'cal-1',
  transducerId: 'transducer-1',
  amplifierId: null,
  label: 'invented',
  method: 'direct',
  forward: { gainNmPerCount: GAIN_NM_PER_COUNT, validToNm: 500, curve: null },
  reverse: { gainNmPerCount: GAIN_NM_PER_COUNT, validToNm: 500, curve: null },
  enteredUncertaintyPercent: 1,
  input: null,
  operator: '',
  note: '',
  createdAt: '2026-01-01T00:00:00.000Z',
  supersededAt: null,
  supersedeReason: null,
  runId: null,
  validUntil: null,
  validForTrials: null,
};

export interface Recipe {
  readonly rateHz?: number;
  readonly plannedS?: number;
  readonly direction?: Direction;
  readonly kind?: Kind;
  readonly torqueNm?: (timeS: number) => number;
}

export const rise = (timeS: number): number => (timeS > 0 ? 300 * (1 - Math.exp(-timeS / 0.8)) : 0);

/** A trial whose torque is `torqueNm` in the direction of the step, as an ideal amplifier would count it. */
export function trialOf({
  rateHz = 1000,
  plannedS = 5,
  direction = 'forward',
  kind = 'tighten',
  torqueNm = rise,
}: Recipe = {}): TrialEvaluationInput {
  const [profile] = readyMadeProfiles;
  if (profile === undefined) throw new Error('There is no ready-made profile.');
  const sign = direction === 'forward' ? 1 : -1;
  const record = sampleRecord({ rateHz, plannedS, torqueNm });
  return {
    counts: Int32Array.from(record, (value) => Math.round((sign * value) / GAIN_NM_PER_COUNT) + ZERO_COUNTS),
    gaps: [],
    sampleRateHz: rateHz,
    conditions: {
      transducer: {
        id: 'transducer-1',
        name: 'invented',
        isSimulated: false,
        capacityNm: 500,
        rigLimitNm: null,
        rigUnloading: 'releases',
        rigRevision: '',
        senseSign: 1,
        senseConfirmedAt: '2026-01-01T00:00:00.000Z',
        activeCalibrationId: 'cal-1',
      },
      calibrationId: 'cal-1',
      amplifierId: null,
      amplifierName: null,
      profile: { ...profile, nominalRateHz: rateHz },
      clockSource: 'sequence',
      zeroCounts: ZERO_COUNTS,
      noiseNm: 0.01,
      onsetLevelNm: 5,
      softwareVersion: '0.1.0',
      definitionVersion: DEFINITION_VERSION,
      ...outsideOfSheet,
    },
    calibration,
    calibrationDoubts: [],
    step: { toolName: 'Hollin H5', kind, direction, plannedS },
    levelsNm: [200, 299.9],
    zeroAfterCounts: ZERO_COUNTS,
    liveOnsetSlot: null,
    faults: [],
  };
}
