import { join } from 'node:path';
import { readyMadeProfiles } from '../../../shared-lib/amplifier/amplifier-profile.ts';
import type { CalibrationVersion } from '../../../shared-lib/calibration/calibration-model.ts';
import type {
  Transducer,
  TrialConditions,
  TrialDecision,
  TrialFigures,
} from '../../../shared-lib/trial/trial-model.ts';
import { insertCalibration } from '../../../main/storage/calibration-repository.ts';
import type { WritableDatabase } from '../../../main/storage/database.ts';
import { openDatabase, type OpenDatabaseOptions } from '../../../main/storage/open-database.ts';
import {
  beginTrial,
  type FinishedRecording,
  finishRecording,
  type NewTrial,
  type StoredBlock,
} from '../../../main/storage/recording-repository.ts';
import { createSession } from '../../../main/storage/session-repository.ts';
import { ensureSimulatedTransducer } from '../../../main/storage/transducer-repository.ts';
import { otherFigures, outsideOfSheet } from '../../helpers/trial-defaults.ts';

/** An invented bench on a real database file; every text in it says so or is plainly made up. */
export const at = '2026-03-04T05:06:07.000Z';
export const sessionId = 'session-1';
export const calibrationId = 'calibration-1';

export function databasePath(folder: string): string {
  return join(folder, 'proofarm.sqlite');
}

export function open(folder: string, others: Partial<OpenDatabaseOptions> = {}): WritableDatabase {
  return openDatabase({
    filePath: databasePath(folder),
    backupFolder: join(folder, 'backups'),
    now: () => new Date(at),
    log: { info: () => undefined, warn: () => undefined },
    ...others,
  });
}

export function calibration(changes: Partial<CalibrationVersion> = {}): CalibrationVersion {
  return {
    id: calibrationId,
    transducerId: 'transducer-demo',
    amplifierId: null,
    label: 'Demo calibration',
    method: 'direct',
    forward: { gainNmPerCount: 0.00025, validToNm: 1000, curve: null },
    reverse: null,
    enteredUncertaintyPercent: 0.5,
    input: {
      method: 'direct',
      zeroCounts: 100,
      forward: { torqueNm: 1000, counts: 4_000_100 },
      reverse: null,
    },
    operator: 'Demo operator',
    note: '',
    createdAt: at,
    supersededAt: null,
    supersedeReason: null,
    runId: null,
    validUntil: null,
    validForTrials: null,
    ...changes,
  };
}

/** A transducer with a calibration in use, and a session. */
export function seedBench(database: WritableDatabase): Transducer {
  const transducer = ensureSimulatedTransducer(database, {
    id: 'transducer-demo',
    name: 'Demo transducer',
    capacityNm: 1500,
    rigLimitNm: 1400,
    rigUnloading: 'releases',
    rigRevision: '',
    senseSign: 1,
    senseConfirmedAt: at,
  });
  insertCalibration(database, calibration(), null);
  createSession(database, {
    id: sessionId,
    transducerId: transducer.id,
    startedAt: at,
    operator: 'Demo operator',
  });
  return { ...transducer, activeCalibrationId: calibrationId };
}

export function conditions(transducer: Transducer): TrialConditions {
  const profile = readyMadeProfiles[2];
  if (!profile) throw new Error('There are fewer ready-made profiles than this fixture needs');
  return {
    transducer,
    calibrationId,
    amplifierId: null,
    amplifierName: null,
    profile,
    clockSource: 'sequence',
    zeroCounts: 100.25,
    noiseNm: 0.02,
    onsetLevelNm: 15,
    softwareVersion: '0.1.0',
    definitionVersion: 1,
    ...outsideOfSheet,
  };
}

export function newTrial(transducer: Transducer, changes: Partial<NewTrial> = {}): NewTrial {
  return {
    id: 'trial-1',
    sessionId,
    startedAt: at,
    step: { toolName: 'Hollin H5', kind: 'tighten', direction: 'forward', plannedS: 5 },
    conditions: conditions(transducer),
    onsetSlot: 2.5,
    isSimulated: true,
    ...changes,
  };
}

export function block(
  firstSlot: number,
  counts: readonly number[],
  arrivalUs = firstSlot * 1000,
): StoredBlock {
  return { firstSlot, counts: Int32Array.from(counts), gaps: [], arrivalUs };
}

export function figures(sustainedTorqueNm = 321.5): TrialFigures {
  return {
    definitionVersion: 1,
    calibrationId,
    sampleRateHz: 1000.25,
    windowS: 0.101,
    onsetLevelNm: 15,
    onsetS: 0.0025,
    sustainedTorqueNm: { value: sustainedTorqueNm },
    finalTorqueNm: { refused: 'The record is too short for it.' },
    torqueAt: [{ atS: 1, torqueNm: { value: 200 } }],
    timeToLevel: [{ levelNm: 100, timeS: null }],
    timeTo90PercentS: { value: 1.25 },
    highestReadingNm: { value: 400 },
    ...otherFigures,
    quality: { verdict: 'good', reasons: [] },
  };
}

export function decision(
  what: TrialDecision['decision'],
  changes: Partial<TrialDecision> = {},
): TrialDecision {
  return {
    decision: what,
    reason: `${what} in a test`,
    stopCause: null,
    figuresShown: false,
    operator: 'Demo operator',
    at,
    ...changes,
  };
}

export function ended(
  state: FinishedRecording['state'],
  changes: Partial<FinishedRecording> = {},
): FinishedRecording {
  return {
    state,
    interruption: state === 'interrupted' ? 'operator' : null,
    zeroAfterCounts: 101.5,
    sampleRateHz: 1000.25,
    rateResidualUs: 12.5,
    rateStandardErrorHz: 0.004,
    onsetSlot: 2.5,
    figures: figures(),
    decision: state === 'kept' ? decision('kept') : null,
    finishedAt: at,
    ...changes,
  };
}

/** A trial of a few samples that has ended in this state. */
export function storeTrial(
  database: WritableDatabase,
  transducer: Transducer,
  state: FinishedRecording['state'],
  changes: Partial<NewTrial> = {},
): string {
  const trial = newTrial(transducer, changes);
  beginTrial(database, trial, [block(0, [1, 2, 3])]);
  finishRecording(database, trial.id, ended(state));
  return trial.id;
}
