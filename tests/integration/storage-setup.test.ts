import { describe, expect, it } from 'vitest';
import { appendToBenchLog, listBenchLog } from '../../main/storage/bench-log-repository.ts';
import {
  getCalibration,
  getCalibrationResult,
  insertCalibration,
  listCalibrations,
} from '../../main/storage/calibration-repository.ts';
import {
  confirmSafety,
  createSession,
  fixStepLevel,
  getSession,
  getStepLevel,
} from '../../main/storage/session-repository.ts';
import { loadSettings, saveSettings } from '../../main/storage/settings-repository.ts';
import {
  ensureRealTransducer,
  ensureSimulatedTransducer,
  getTransducer,
  listTransducers,
  setActiveCalibration,
  setSense,
  updateTransducer,
} from '../../main/storage/transducer-repository.ts';
import { settingsSchema } from '../../shared-lib/api-contract.ts';
import {
  at,
  calibration,
  calibrationId,
  open,
  seedBench,
  sessionId,
} from './storage-support/bench-fixture.ts';
import { calibrationResult } from './storage-support/calibration-result.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

const later = '2026-03-05T00:00:00.000Z';
const coded = (code: string): unknown => expect.objectContaining({ code });

describe('settings', () => {
  it('begin with defaults that the contract accepts', () => {
    const database = open(temporaryFolder());
    const settings = loadSettings(database);
    expect(settingsSchema.parse(settings)).toEqual(settings);
    expect(settings).toMatchObject({ torqueUnit: 'Nm', levelsNm: [100, 200, 400], connectAtStart: 'none' });
    database.close();
  });

  it('keep what was saved, and leave the rest as it was', () => {
    const folder = temporaryFolder();
    const first = open(folder);
    const amplifier = {
      path: '/dev/ttyUSB0',
      profileId: 'counts',
      baudRate: 115_200,
      nominalRateHz: 80,
      converterBits: 24,
    };
    saveSettings(first, { torqueUnit: 'ftLbf', amplifier, soundVolume: 0 });
    const saved = saveSettings(first, { operator: 'Ada \u2028 "Ö"', amplifier: null, theme: undefined });
    first.close();
    const second = open(folder);
    expect(loadSettings(second)).toEqual(saved);
    expect(saved).toMatchObject({
      torqueUnit: 'ftLbf',
      amplifier: null,
      soundVolume: 0,
      operator: 'Ada \u2028 "Ö"',
      theme: 'system',
    });
    second.close();
  });

  it('are not guessed where what is stored makes no sense', () => {
    const database = open(temporaryFolder());
    database.exec(`INSERT INTO setting VALUES ('theme', '"plaid"')`);
    expect(() => loadSettings(database)).toThrow(coded('database-damaged'));
    database.close();
  });
});

describe('transducers', () => {
  it('are made once: a simulated one from its facts, a real one without a capacity', () => {
    const database = open(temporaryFolder());
    const facts = {
      id: 'simulated-demo',
      name: 'Demo transducer',
      capacityNm: 1500,
      rigLimitNm: null,
      rigUnloading: 'releases',
      rigRevision: '',
      senseSign: 1,
      senseConfirmedAt: at,
    } as const;
    const simulated = ensureSimulatedTransducer(database, facts);
    const real = ensureRealTransducer(database);
    expect(simulated).toEqual({ ...facts, isSimulated: true, activeCalibrationId: null });
    expect(real).toMatchObject({
      name: 'Transducer 1',
      isSimulated: false,
      capacityNm: null,
      senseConfirmedAt: null,
    });
    expect(ensureSimulatedTransducer(database, { ...facts, name: 'Other' })).toEqual(simulated);
    expect(ensureRealTransducer(database)).toEqual(real);
    expect(listTransducers(database)).toEqual([real, simulated]);
    database.close();
  });

  it('take what the user enters and the sense of the guided push', () => {
    const database = open(temporaryFolder());
    const { id } = ensureRealTransducer(database);
    const changes = {
      id,
      name: 'Bench 1',
      capacityNm: 500,
      rigLimitNm: 450,
      rigUnloading: 'releases',
      rigRevision: '',
    } as const;
    expect(updateTransducer(database, changes)).toMatchObject(changes);
    expect(setSense(database, id, -1, at)).toMatchObject({ ...changes, senseSign: -1, senseConfirmedAt: at });
    expect(getTransducer(database, id)).toMatchObject({ senseSign: -1 });
    database.close();
  });

  it('that are not there are refused', () => {
    const database = open(temporaryFolder());
    const changes = { id: 'nobody', name: 'x', capacityNm: 1, rigLimitNm: 1, rigUnloading: 'holds' } as const;
    expect(() => getTransducer(database, 'nobody')).toThrow(coded('transducer-not-found'));
    expect(() => updateTransducer(database, changes)).toThrow(coded('transducer-not-found'));
    expect(() => setSense(database, 'nobody', 1, at)).toThrow(coded('transducer-not-found'));
    database.close();
  });
});

describe('calibrations', () => {
  it('are in use from the moment they are stored', () => {
    const database = open(temporaryFolder());
    const { id } = seedBench(database);
    expect(getTransducer(database, id).activeCalibrationId).toBe(calibrationId);
    expect(getCalibration(database, calibrationId)).toEqual(calibration());
    database.close();
  });

  it('supersede the one before, with the reason and at the same moment', () => {
    const database = open(temporaryFolder());
    const { id } = seedBench(database);
    const second = calibration({
      id: 'calibration-2',
      method: 'oneWeight',
      forward: null,
      reverse: { gainNmPerCount: -0.001, validToNm: 98.5, curve: null },
      enteredUncertaintyPercent: null,
      input: {
        method: 'oneWeight',
        massKg: 10,
        materialDensityKgM3: 7950,
        armLengthM: 1,
        armAngleDeg: 0,
        gravity: { source: 'location', latitudeDeg: 50, heightM: 300 },
        airDensityKgM3: 1.2,
        zeroCounts: 0,
        forwardCounts: null,
        reverseCounts: -98_000,
      },
      createdAt: later,
    });
    expect(() => insertCalibration(database, second, null)).toThrow(coded('invalid-state'));
    expect(insertCalibration(database, second, { reason: 'New cable.' })).toEqual(second);
    expect(listCalibrations(database, id)).toEqual([
      second,
      calibration({ supersededAt: later, supersedeReason: 'New cable.' }),
    ]);
    expect(getTransducer(database, id).activeCalibrationId).toBe('calibration-2');
    database.close();
  });

  it('come back with their curves, how long they hold, and what the run behind them came to', () => {
    const database = open(temporaryFolder());
    const { id } = seedBench(database);
    const curved = calibration({
      id: 'calibration-2',
      method: 'weightsOnArm',
      input: null,
      forward: {
        gainNmPerCount: 0.00025,
        validToNm: 100,
        curve: { constantCounts: 0, coefficients: [4000, 0.01, -1e-5] },
      },
      reverse: {
        gainNmPerCount: 0.000251,
        validToNm: 90,
        curve: { constantCounts: -2.5, coefficients: [3984] },
      },
      validUntil: '2026-06-04',
      validForTrials: 500,
    });
    insertCalibration(database, curved, { reason: 'Guided.' }, calibrationResult());
    expect(getCalibration(database, 'calibration-2')).toEqual(curved);
    expect(listCalibrations(database, id)).toContainEqual(curved);
    expect(getCalibrationResult(database, 'calibration-2')).toEqual(calibrationResult());
    expect(getCalibrationResult(database, calibrationId)).toBeNull();
    for (const column of [
      'forward_curve_json',
      'reverse_curve_json',
      'run_id',
      'result_json',
      'valid_until',
    ]) {
      expect(() => database.exec(`UPDATE calibration SET ${column} = NULL`)).toThrow('never edited');
    }
    expect(() => database.exec('UPDATE calibration SET valid_for_trials = 1000')).toThrow('never edited');
    database.close();
  });

  it('without an input come back without one', () => {
    const database = open(temporaryFolder());
    const { id } = seedBench(database);
    const built = calibration({ id: 'calibration-2', method: 'simulated', input: null });
    insertCalibration(database, built, { reason: 'Simulated.' });
    expect(listCalibrations(database, id)).toContainEqual(built);
    database.close();
  });

  it('are all or nothing', () => {
    const database = open(temporaryFolder());
    const { id } = seedBench(database);
    // The same id again: the version before must not be left superseded by one that does not exist.
    expect(() => insertCalibration(database, calibration(), { reason: 'Twice.' })).toThrow('UNIQUE');
    expect(listCalibrations(database, id)).toEqual([calibration()]);
    database.close();
  });

  it('are never edited, superseded twice or deleted', () => {
    const database = open(temporaryFolder());
    seedBench(database);
    expect(() => database.exec('UPDATE calibration SET forward_gain_nm_per_count = 1')).toThrow(
      'never edited',
    );
    expect(() => database.exec("UPDATE calibration SET note = 'better'")).toThrow('never edited');
    expect(() => database.exec('DELETE FROM calibration')).toThrow('never deleted');
    insertCalibration(database, calibration({ id: 'calibration-2' }), { reason: 'New cable.' });
    const again = "UPDATE calibration SET supersede_reason = 'x' WHERE id = 'calibration-1'";
    expect(() => database.exec(again)).toThrow('superseded once');
    database.close();
  });

  it('are put in use only where they belong and hold', () => {
    const database = open(temporaryFolder());
    const { id } = seedBench(database);
    const other = ensureRealTransducer(database);
    expect(() => setActiveCalibration(database, other.id, calibrationId)).toThrow(
      coded('calibration-not-found'),
    );
    insertCalibration(database, calibration({ id: 'calibration-2' }), { reason: 'New cable.' });
    expect(() => setActiveCalibration(database, id, calibrationId)).toThrow(coded('invalid-state'));
    expect(setActiveCalibration(database, id, 'calibration-2').activeCalibrationId).toBe('calibration-2');
    expect(() => getCalibration(database, 'nobody')).toThrow(coded('calibration-not-found'));
    database.close();
  });
});

describe('a session', () => {
  it('has its safety list confirmed once', () => {
    const database = open(temporaryFolder());
    const { id: transducerId } = seedBench(database);
    const session = { id: 'session-2', transducerId, startedAt: at, operator: '' };
    createSession(database, session);
    expect(getSession(database, 'session-2')).toEqual({ ...session, safetyConfirmedAt: null });
    confirmSafety(database, 'session-2', at);
    confirmSafety(database, 'session-2', later);
    expect(getSession(database, 'session-2').safetyConfirmedAt).toBe(at);
    expect(getSession(database, sessionId).safetyConfirmedAt).toBeNull();
    database.close();
  });

  it('fixes the onset level of each kind and direction at the first arming', () => {
    const database = open(temporaryFolder());
    seedBench(database);
    const forward = { kind: 'tighten', direction: 'forward' } as const;
    const reverse = { kind: 'tighten', direction: 'reverse' } as const;
    const level = { onsetLevelNm: 15, noiseNm: 0.5 };
    expect(getStepLevel(database, sessionId, forward)).toBeNull();
    expect(fixStepLevel(database, sessionId, forward, level)).toEqual(level);
    expect(fixStepLevel(database, sessionId, forward, { onsetLevelNm: 20, noiseNm: 4 })).toEqual(level);
    expect(getStepLevel(database, sessionId, forward)).toEqual(level);
    expect(getStepLevel(database, sessionId, reverse)).toBeNull();
    database.close();
  });
});

describe('the log of the bench', () => {
  it('grows, shows the newest first, and is never changed', () => {
    const database = open(temporaryFolder());
    const first = { at, kind: 'abortBeforeOnset', text: 'No torque within 30 s.' };
    appendToBenchLog(database, first);
    appendToBenchLog(database, { ...first, at: later });
    expect(listBenchLog(database, 5)).toEqual([{ ...first, at: later }, first]);
    expect(listBenchLog(database, 1)).toHaveLength(1);
    expect(() => database.exec('DELETE FROM bench_log')).toThrow('only grows');
    expect(() => database.exec("UPDATE bench_log SET text = ''")).toThrow('only grows');
    database.close();
  });
});
