import Database from 'better-sqlite3';
import { describe, expect, it, onTestFinished } from 'vitest';
import { recordingWriterEntry } from '../../main/hosts/program-files.ts';
import { startRecordingWriter } from '../../main/hosts/start-recording-writer.ts';
import type { LiveFault } from '../../main/amplifier/live-fault.ts';
import { systemClock } from '../../main/platform/clock.ts';
import { createLogger } from '../../main/platform/logger.ts';
import { getCalibration } from '../../main/storage/calibration-repository.ts';
import { readRecording } from '../../main/storage/recording-repository.ts';
import { getTrial } from '../../main/storage/trial-repository.ts';
import { createRecordingWriter } from '../../main/trials/recording-writer.ts';
import { createTrialRecorder, type TrialRecorder } from '../../main/trials/trial-recorder.ts';
import type { SampleBlock } from '../../shared-lib/signal/sample-block.ts';
import { databasePath, newTrial, open, seedBench } from './storage-support/bench-fixture.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

const SLOTS = 20;

function blockAt(firstSlot: number): SampleBlock {
  const counts = Int32Array.from({ length: SLOTS }, (_, index) => firstSlot + index);
  return { segment: 1, firstSlot, counts, gaps: [], arrivalUs: firstSlot * 1000 };
}

function startRecorder(mostWaitingBytes?: number) {
  const folder = temporaryFolder();
  const database = open(folder);
  const trial = newTrial(seedBench(database));
  const told: (string | null)[] = [];
  const log = createLogger(() => undefined);
  const sent: string[] = [];
  const writer = createRecordingWriter(() => {
    const thread = startRecordingWriter(recordingWriterEntry, databasePath(folder));
    return {
      ...thread,
      send(request, transferred) {
        sent.push(request.command.type);
        thread.send(request, transferred);
      },
    };
  }, log);
  const recorder = createTrialRecorder(
    {
      clock: systemClock,
      log,
      writer,
      operator: () => 'Demo operator',
      levelsNm: () => [],
      ...(mostWaitingBytes === undefined ? {} : { mostWaitingBytes }),
    },
    {
      onTrialChanged: () => told.push('changed'),
      onFinished: ({ kind }) => told.push(kind),
      onFailed: (failure) => told.push(failure),
      onTrouble: (sentence) => told.push(sentence),
    },
  );
  onTestFinished(async () => {
    await recorder.close();
    database.close();
  });
  const begin = (standing: readonly LiveFault[] = [], trialId = trial.id): void => {
    recorder.begin(
      {
        plan: { trialId, step: trial.step, rigUnloading: 'releases' },
        sessionId: trial.sessionId,
        conditions: trial.conditions,
        restAfterS: 0,
        calibration: getCalibration(database, trial.conditions.calibrationId),
        overloadNm: 1000,
        sampleRateHz: 1000,
      },
      10,
      [blockAt(0)],
      standing,
    );
  };
  const lock = (): (() => void) => {
    const other = new Database(databasePath(folder));
    other.exec('BEGIN IMMEDIATE');
    return () => {
      other.close();
    };
  };
  return { database, recorder, told, sent, begin, lock, trialId: trial.id };
}

async function until(recorder: TrialRecorder, condition: () => boolean): Promise<void> {
  const giveUpAt = performance.now() + 20_000;
  while (!condition()) {
    if (performance.now() > giveUpAt) throw new Error('Waited in vain');
    recorder.tick();
    await new Promise((resolve) => setTimeout(resolve, 10));
  }
}

describe('the recorder', () => {
  it('gives a trial up where the disk falls too far behind, says so, and writes what it had when the disk goes on', async () => {
    const { database, recorder, told, begin, lock, trialId } = startRecorder(100 * SLOTS * 4);
    begin();
    await until(recorder, () => told.includes('changed'));
    const unlock = lock();
    let fed = 1;
    for (; !told.includes('persistFailed'); fed += 1) recorder.append([blockAt(fed * SLOTS)]);
    expect(fed).toBe(102);
    expect(told.at(-2)).toMatch(/has fallen so far behind/);
    unlock();
    await until(recorder, () => getTrial(database, trialId).summary.state === 'interrupted');
    expect(getTrial(database, trialId).interruption).toBe('storageFailed');
    expect(readRecording(database, trialId).counts).toEqual(
      Int32Array.from({ length: fed * SLOTS }, (_, slot) => slot),
    );
  });

  it('joins into one commit what comes while the disk is busy', async () => {
    const { database, recorder, told, sent, begin, lock, trialId } = startRecorder();
    begin();
    await until(recorder, () => told.includes('changed'));
    const unlock = lock();
    for (let block = 1; block < 50; block += 1) recorder.append([blockAt(block * SLOTS)]);
    unlock();
    await until(recorder, () => readRecording(database, trialId).counts.length === 50 * SLOTS);
    // One for the first, one for all that came behind it.
    expect(sent).toEqual(['open', 'begin', 'append', 'append']);
  });

  it('that could not be begun is no sign, when it is given up, that the disk can be written to again', async () => {
    const { recorder, told, begin, database, sent } = startRecorder();
    // As where the disk is full: the trial is not stored, and nothing that is looked up later finds it.
    database.exec(`CREATE TRIGGER full BEFORE INSERT ON trial BEGIN SELECT raise(ABORT, 'no space'); END`);
    begin();
    await until(recorder, () => told.includes('recordNotBegun'));
    const before = sent.length;
    await until(recorder, () => sent.length > before);
    await new Promise((resolve) => setTimeout(resolve, 200));
    expect(told).not.toContain('changed');
  });

  it('that could not be begun is written as interrupted, all of it, once the disk takes it', async () => {
    const { recorder, told, begin, database, trialId } = startRecorder();
    database.exec(`CREATE TRIGGER full BEFORE INSERT ON trial BEGIN SELECT raise(ABORT, 'no space'); END`);
    begin();
    recorder.append([blockAt(SLOTS)]);
    await until(recorder, () => told.includes('recordNotBegun'));
    database.exec('DROP TRIGGER full');
    await until(recorder, () => told.includes('changed'));
    await until(recorder, () => getTrial(database, trialId).summary.state === 'interrupted');
    expect(readRecording(database, trialId).counts).toHaveLength(2 * SLOTS);
  });

  it('that could not be begun is written at the end of the program, where nobody tries again later', async () => {
    const { recorder, told, begin, database, trialId } = startRecorder();
    database.exec(`CREATE TRIGGER full BEFORE INSERT ON trial BEGIN SELECT raise(ABORT, 'no space'); END`);
    begin();
    await until(recorder, () => told.includes('recordNotBegun'));
    database.exec('DROP TRIGGER full');
    await recorder.close();
    expect(getTrial(database, trialId).summary.state).toBe('interrupted');
    expect(readRecording(database, trialId).counts).toHaveLength(SLOTS);
  });

  it('writes at the end of the program what is left of every trial that the disk did not take', async () => {
    const { recorder, told, begin, database } = startRecorder();
    const failWith = async (trialId: string): Promise<void> => {
      begin([], trialId);
      await until(
        recorder,
        () => database.prepare('SELECT 1 FROM trial WHERE id = ?').get(trialId) !== undefined,
      );
      database.exec(
        `CREATE TRIGGER full BEFORE INSERT ON raw_block BEGIN SELECT raise(ABORT, 'no space'); END`,
      );
      told.length = 0;
      recorder.append([blockAt(SLOTS)]);
      await until(recorder, () => told.includes('persistFailed'));
      database.exec('DROP TRIGGER full');
    };
    await failWith('first');
    await failWith('second');
    await recorder.close();
    for (const trialId of ['first', 'second']) {
      expect(readRecording(database, trialId).counts).toHaveLength(2 * SLOTS);
      expect(getTrial(database, trialId).summary.state).toBe('interrupted');
    }
  });

  it('is told by its code why nothing can be written', async () => {
    const { recorder, told, begin, lock } = startRecorder();
    const unlock = lock();
    begin();
    await until(recorder, () => told.includes('recordNotBegun'));
    unlock();
    expect(told.slice(-2)).toEqual([
      expect.stringMatching(/^Another program holds the database/),
      'recordNotBegun',
    ]);
  });

  it('stores the faults that lasted when the record began at its beginning', async () => {
    const { database, recorder, told, trialId, begin } = startRecorder();
    const rail = { kind: 'rail', segment: 1, slot: 15, count: 1, sentence: 'At the rail.' } as const;
    begin([{ ...rail, kind: 'rateOffNominal', slot: null }]);
    recorder.noteFault(rail);
    recorder.finish('operator', null);
    await until(recorder, () => told.includes('interrupted'));
    expect(getTrial(database, trialId).faults.map(({ kind, atS }) => [kind, atS])).toEqual([
      ['rateOffNominal', 0],
      ['rail', 0.015],
    ]);
  });
});
