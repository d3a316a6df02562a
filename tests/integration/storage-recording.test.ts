import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { performRecordingCommand } from '../../main/storage/recording-commands.ts';
import {
  appendBlock,
  appendFault,
  beginTrial,
  completeRecovered,
  finishRecording,
  listUnfinished,
  readRecording,
  recoverUnfinished,
  type StoredBlock,
} from '../../main/storage/recording-repository.ts';
import { listUnpacked, repackNextRun, repackTrial } from '../../main/storage/repack-trial.ts';
import { getTrial, listInterruptedUndecided } from '../../main/storage/trial-repository.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';
import {
  at,
  block,
  decision,
  ended,
  figures,
  newTrial,
  open,
  seedBench,
  storeTrial,
} from './storage-support/bench-fixture.ts';
import { plansOf } from './storage-support/query-plans.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

function openBench(): { database: WritableDatabase; transducer: Transducer } {
  const database = open(temporaryFolder());
  return { database, transducer: seedBench(database) };
}

function rawRows(database: WritableDatabase): unknown[] {
  return database
    .prepare(
      'SELECT codec, first_slot AS firstSlot, slot_count AS slotCount FROM raw_block ORDER BY first_slot',
    )
    .all();
}

const coded = (code: string): unknown => expect.objectContaining({ code });

describe('recording a trial', () => {
  it('stores the samples from before onset with the trial, or neither', () => {
    const { database, transducer } = openBench();
    const overlapping = [block(0, [1, 2]), block(1, [3])];
    expect(() => beginTrial(database, newTrial(transducer), overlapping)).toThrow(RangeError);
    expect(listUnfinished(database)).toEqual([]);

    beginTrial(database, newTrial(transducer), [block(0, [1, 2]), block(2, [3])]);
    expect(listUnfinished(database)).toEqual(['trial-1']);
    expect(readRecording(database, 'trial-1').counts).toEqual(Int32Array.of(1, 2, 3));
    database.close();
  });

  it('gives back counts, gaps and when they arrived, one for one', () => {
    const { database, transducer } = openBench();
    beginTrial(database, newTrial(transducer), [block(0, [-8_388_608, 8_388_607], 1_000_000)]);
    appendBlock(database, 'trial-1', {
      ...block(2, [0, 0, 5], 1_030_000),
      gaps: [{ offset: 0, length: 2 }],
    });
    expect(readRecording(database, 'trial-1')).toEqual({
      counts: Int32Array.of(-8_388_608, 8_388_607, 0, 0, 5),
      gaps: [{ offset: 2, length: 2 }],
      marks: [
        { slot: 1, arrivalUs: 1_000_000 },
        { slot: 4, arrivalUs: 1_030_000 },
      ],
    });
    database.close();
  });

  it('keeps slots that were left out between two blocks as lost', () => {
    const { database, transducer } = openBench();
    beginTrial(database, newTrial(transducer), [block(0, [1])]);
    appendBlock(database, 'trial-1', block(4, [2]));
    expect(readRecording(database, 'trial-1').gaps).toEqual([{ offset: 1, length: 3 }]);
    expect(getTrial(database, 'trial-1')).toMatchObject({ slotCount: 5, lostSlots: 3 });
    database.close();
  });

  it.each([
    ['that are stored already', 0],
    ['between two samples', 1.5],
    ['past the longest record', 2 ** 27],
  ])('refuses slots %s', (_, firstSlot) => {
    const { database, transducer } = openBench();
    beginTrial(database, newTrial(transducer), [block(0, [1])]);
    expect(() => appendBlock(database, 'trial-1', block(firstSlot, [2], 0))).toThrow(RangeError);
    expect(readRecording(database, 'trial-1').counts).toEqual(Int32Array.of(1));
    database.close();
  });

  it('adds nothing to a trial that has ended or is not there', () => {
    const { database, transducer } = openBench();
    storeTrial(database, transducer, 'kept');
    expect(() => appendBlock(database, 'trial-1', block(3, [4]))).toThrow(coded('invalid-state'));
    expect(() => finishRecording(database, 'trial-1', ended('reviewing'))).toThrow(coded('invalid-state'));
    expect(() => appendBlock(database, 'nobody', block(0, [4]))).toThrow(coded('trial-not-found'));
    expect(() => readRecording(database, 'nobody')).toThrow(coded('trial-not-found'));
    database.close();
  });

  it('needs a calibration of the transducer that the trial was made on', () => {
    const { database, transducer } = openBench();
    const other = { ...transducer, id: 'another' };
    expect(() => beginTrial(database, newTrial(other), [])).toThrow('FOREIGN KEY');
    database.close();
  });

  it('ends with where the trial stands, its figures and its decision at once', () => {
    const { database, transducer } = openBench();
    beginTrial(database, newTrial(transducer), [block(0, [1, 2, 3])]);
    const fault = { kind: 'sequenceGap', at, atS: 0.5, count: 2, sentence: 'Two were lost.' } as const;
    appendFault(database, 'trial-1', fault);
    finishRecording(database, 'trial-1', ended('kept', { onsetSlot: 2.75 }));
    const record = getTrial(database, 'trial-1');
    expect(record).toMatchObject({
      onsetSlot: 2.75,
      sampleRateHz: 1000.25,
      rateResidualUs: 12.5,
      rateStandardErrorHz: 0.004,
      zeroAfterCounts: 101.5,
      interruption: null,
      figures: figures(),
      faults: [fault],
      decisions: [decision('kept')],
      conditions: newTrial(transducer).conditions,
    });
    expect(record.summary).toMatchObject({ state: 'kept', isVoided: false, sustainedTorqueNm: 321.5 });
    database.close();
  });

  it.each([
    ['kept without a decision', ended('kept', { decision: null })],
    ['kept and interrupted', ended('kept', { interruption: 'operator' })],
    ['reviewing with a decision', ended('reviewing', { decision: decision('kept') })],
    ['interrupted without a reason', ended('interrupted', { interruption: null })],
    ['interrupted but kept', ended('interrupted', { decision: decision('kept') })],
  ])('does not end as %s', (_, end) => {
    const { database, transducer } = openBench();
    beginTrial(database, newTrial(transducer), []);
    expect(() => finishRecording(database, 'trial-1', end)).toThrow('cannot end');
    expect(listUnfinished(database)).toEqual(['trial-1']);
    database.close();
  });

  it('does not store figures that could not be read back', () => {
    const { database, transducer } = openBench();
    beginTrial(database, newTrial(transducer), []);
    const broken = { ...figures(), sustainedTorqueNm: { value: Number.NaN } };
    expect(() => finishRecording(database, 'trial-1', ended('reviewing', { figures: broken }))).toThrow();
    expect(listUnfinished(database)).toEqual(['trial-1']);
    database.close();
  });

  it('never edits, and never deletes but by repacking', () => {
    const { database, transducer } = openBench();
    storeTrial(database, transducer, 'kept');
    const attempts = [
      'UPDATE raw_block SET payload = zeroblob(12)',
      'DELETE FROM raw_block',
      'UPDATE trial SET zero_counts = 0',
      'UPDATE trial SET calibration_id = NULL',
      'DELETE FROM trial',
      'DELETE FROM trial_evaluation',
      'UPDATE trial_decision SET reason = NULL',
      'DELETE FROM trial_decision',
    ];
    for (const attempt of attempts) expect(() => database.exec(attempt)).toThrow(/edited|deleted|grows/);
    repackTrial(database, 'trial-1');
    expect(() => database.exec('DELETE FROM raw_block')).toThrow('only when a repacked row holds them');
    database.close();
  });
});

describe('a recording that the program did not end', () => {
  it('becomes an interrupted trial that waits for a decision', () => {
    const { database, transducer } = openBench();
    beginTrial(database, newTrial(transducer), [block(0, [1, 2])]);
    storeTrial(database, transducer, 'kept', { id: 'trial-2' });
    expect(recoverUnfinished(database, at)).toEqual(['trial-1']);
    expect(recoverUnfinished(database, at)).toEqual([]);
    expect(listInterruptedUndecided(database)).toEqual(['trial-1']);
    expect(getTrial(database, 'trial-1')).toMatchObject({
      summary: { state: 'interrupted' },
      interruption: 'programEnded',
      decisions: [{ decision: 'interrupted', figuresShown: false, at }],
    });
    expect(readRecording(database, 'trial-1').counts).toEqual(Int32Array.of(1, 2));
    database.close();
  });

  it('has the zero that was measured after it, where only its figures were missing, and says so', () => {
    const { database, transducer } = openBench();
    const trial = newTrial(transducer);
    beginTrial(database, trial, [block(0, [1, 2])]);
    // In the place of a program that ends meanwhile: measuring fails.
    database.exec('DROP TRIGGER raw_block_is_never_edited; UPDATE raw_block SET crc32 = crc32 + 1');
    const ending = {
      outcome: 'complete',
      sentence: '',
      zeroAfterCounts: 12.5,
      expectedRateHz: 1000,
      onsetSlot: 1,
      levelsNm: [],
      operator: 'Demo operator',
      at,
    } as const;
    expect(() => performRecordingCommand(database, { type: 'finish', trialId: trial.id, ending })).toThrow(
      coded('block-corrupt'),
    );
    recoverUnfinished(database, at);
    const { zeroAfterCounts, decisions } = getTrial(database, trial.id);
    expect(zeroAfterCounts).toBe(12.5);
    expect(decisions[0]?.reason).toContain('its record is whole');
    database.close();
  });

  it('gets its rate and figures once, when its samples have been read again', () => {
    const { database, transducer } = openBench();
    beginTrial(database, newTrial(transducer), [block(0, [1, 2])]);
    const found = {
      sampleRateHz: 999.5,
      rateResidualUs: 3,
      rateStandardErrorHz: 0.001,
      onsetSlot: 1.5,
      figures: figures(),
    };
    expect(() => completeRecovered(database, 'trial-1', found, at)).toThrow('not one to complete');
    recoverUnfinished(database, at);
    completeRecovered(database, 'trial-1', found, at);
    expect(getTrial(database, 'trial-1')).toMatchObject({
      sampleRateHz: 999.5,
      onsetSlot: 1.5,
      figures: null,
      summary: { qualityVerdict: 'good', sustainedTorqueNm: null },
    });
    expect(() => completeRecovered(database, 'trial-1', found, at)).toThrow('not one to complete');
    database.close();
  });
});

describe('repacking an ended trial', () => {
  const blocks = fc.array(
    fc.record({
      counts: fc.array(fc.integer({ min: -(2 ** 23), max: 2 ** 23 - 1 }), { minLength: 1, maxLength: 40 }),
      lost: fc.nat(3),
      leftOut: fc.constantFrom(0, 0, 0, 7),
    }),
    { minLength: 1, maxLength: 12 },
  );

  it('changes no sample, no gap and no arrival', () => {
    const { database, transducer } = openBench();
    let trials = 0;
    fc.assert(
      fc.property(blocks, (parts) => {
        const id = `trial-${(trials += 1)}`;
        beginTrial(database, newTrial(transducer, { id }), []);
        let firstSlot = 0;
        for (const { counts, lost, leftOut } of parts) {
          firstSlot += leftOut;
          const stored: StoredBlock = {
            ...block(firstSlot, [...Array.from({ length: lost }, () => 0), ...counts], 1e9 + 997 * firstSlot),
            gaps: lost === 0 ? [] : [{ offset: 0, length: lost }],
          };
          appendBlock(database, id, stored);
          firstSlot += stored.counts.length;
        }
        finishRecording(database, id, ended('reviewing'));
        const before = { recording: readRecording(database, id), record: getTrial(database, id) };
        repackTrial(database, id);
        expect({ recording: readRecording(database, id), record: getTrial(database, id) }).toEqual(before);
      }),
      { numRuns: 40 },
    );
    expect(database.prepare('SELECT count(*) FROM raw_block WHERE codec = 0').pluck().get()).toBe(0);
    database.close();
  });

  it('makes few large rows of many small ones, one at a time, readable in between', () => {
    const { database, transducer } = openBench();
    const counts = Int32Array.from({ length: 30_000 }, (_, index) => (index * 48_271) % 1000);
    beginTrial(database, newTrial(transducer), []);
    for (let part = 0; part < 5; part += 1) {
      appendBlock(database, 'trial-1', { ...block(part * 30_000, []), counts });
    }
    finishRecording(database, 'trial-1', ended('reviewing'));
    const before = readRecording(database, 'trial-1');
    expect(listUnpacked(database)).toEqual(['trial-1']);

    expect(repackNextRun(database, 'trial-1')).toBe(true);
    expect(rawRows(database)).toEqual([
      { codec: 1, firstSlot: 0, slotCount: 90_000 },
      { codec: 0, firstSlot: 90_000, slotCount: 30_000 },
      { codec: 0, firstSlot: 120_000, slotCount: 30_000 },
    ]);
    expect(readRecording(database, 'trial-1')).toEqual(before);

    expect(repackNextRun(database, 'trial-1')).toBe(true);
    expect(repackNextRun(database, 'trial-1')).toBe(false);
    expect(rawRows(database)).toEqual([
      { codec: 1, firstSlot: 0, slotCount: 90_000 },
      { codec: 1, firstSlot: 90_000, slotCount: 60_000 },
    ]);
    expect(readRecording(database, 'trial-1')).toEqual(before);
    expect(listUnpacked(database)).toEqual([]);
    database.close();
  });

  it('finds what is left to pack without reading what is packed', () => {
    const { database } = openBench();
    const plans = plansOf(database, (watched) => {
      listUnpacked(watched);
    });
    expect(plans[0]?.[0]).toBe('SCAN raw_block USING COVERING INDEX raw_block_unpacked');
    database.close();
  });

  it('waits until the trial has ended', () => {
    const { database, transducer } = openBench();
    beginTrial(database, newTrial(transducer), [block(0, [1])]);
    expect(listUnpacked(database)).toEqual([]);
    expect(() => repackTrial(database, 'trial-1')).toThrow(coded('trial-not-finished'));
    expect(() => repackTrial(database, 'nobody')).toThrow(coded('trial-not-found'));
    database.close();
  });

  it('leaves damaged rows as they are', () => {
    const { database, transducer } = openBench();
    storeTrial(database, transducer, 'kept');
    database.exec('DROP TRIGGER raw_block_is_never_edited');
    database.exec("UPDATE raw_block SET payload = x'010000000200000004000000'");
    const corrupt = expect.objectContaining({
      code: 'block-corrupt',
      details: { trialId: 'trial-1', firstSlot: 0, slotCount: 3 },
    }) as unknown;
    expect(() => readRecording(database, 'trial-1')).toThrow(corrupt);
    expect(() => repackTrial(database, 'trial-1')).toThrow(corrupt);
    expect(rawRows(database)).toEqual([{ codec: 0, firstSlot: 0, slotCount: 3 }]);
    database.close();
  });
});
