import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { RequestResult } from '../../shared-lib/api-contract.ts';
import { displayCurve } from '../../shared-lib/signal/butterworth.ts';
import { reduceMinMax } from '../../shared-lib/signal/fold-live-bins.ts';
import { measuringCurve } from '../../shared-lib/signal/measuring-curve.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';
import { assignCalibration } from '../../main/storage/assignment-repository.ts';
import { insertCalibration } from '../../main/storage/calibration-repository.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { appendBlock, beginTrial, finishRecording } from '../../main/storage/recording-repository.ts';
import { repackTrial } from '../../main/storage/repack-trial.ts';
import { createTrialCurves, type TrialCurves } from '../../main/trials/trial-curves.ts';
import { makeDataFolder } from '../helpers/running-services.ts';
import {
  at,
  calibration,
  conditions,
  ended,
  figures,
  newTrial,
  open,
  seedBench,
} from './storage-support/bench-fixture.ts';

const RATE_HZ = 1000;
const PER_BLOCK = 500;
const BLOCKS = 8;
const GAIN_NM_PER_COUNT = 0.00025;
const ZERO_COUNTS = 100;
const LOST = { from: 1700, to: 1830 };

let folder: ReturnType<typeof makeDataFolder>;
let database: WritableDatabase;
let transducer: Transducer;
let curves: TrialCurves;

beforeEach(() => {
  folder = makeDataFolder();
  database = open(folder.path);
  transducer = seedBench(database);
  curves = createTrialCurves(database, () => RATE_HZ);
});
afterEach(() => {
  database.close();
  folder.remove();
});

/** Counts of a pull that rises, hammers and ends, from the record's first slot. */
function countsAt(slot: number): number {
  return ZERO_COUNTS + Math.round(1e6 * Math.min(1, slot / 2000) + 3e5 * Math.sin(slot / 7));
}

function blockAt(number: number) {
  const firstSlot = number * PER_BLOCK;
  const isWithGap = LOST.from >= firstSlot && LOST.from < firstSlot + PER_BLOCK;
  return {
    firstSlot,
    counts: Int32Array.from({ length: PER_BLOCK }, (_, index) => countsAt(firstSlot + index)),
    gaps: isWithGap ? [{ offset: LOST.from - firstSlot, length: LOST.to - LOST.from }] : [],
    arrivalUs: (firstSlot + PER_BLOCK) * 1000,
  };
}

function begin(): void {
  const usual = conditions(transducer);
  const trial = newTrial(transducer, {
    onsetSlot: 100,
    conditions: {
      ...usual,
      profile: { ...usual.profile, nominalRateHz: RATE_HZ },
      zeroCounts: ZERO_COUNTS,
    },
  });
  beginTrial(database, trial, [blockAt(0)]);
}

function record(): void {
  begin();
  for (let number = 1; number < BLOCKS; number += 1) appendBlock(database, 'trial-1', blockAt(number));
  finishRecording(database, 'trial-1', ended('kept', { onsetSlot: 100 }));
}

/** The torque of every slot, straight from the counts. */
function torquesNm(): Float64Array {
  return Float64Array.from({ length: BLOCKS * PER_BLOCK }, (_, slot) =>
    slot >= LOST.from && slot < LOST.to ? NaN : (countsAt(slot) - ZERO_COUNTS) * GAIN_NM_PER_COUNT,
  );
}

const ask = (
  part: Partial<Parameters<TrialCurves['curve']>[0]> = {},
): Promise<RequestResult<'getTrialCurve'>> =>
  curves.curve({ trialId: 'trial-1', fromS: null, toS: null, bins: 97, ...part });

describe('the curve of a stored trial', () => {
  it('is what its counts come to: bins, measuring curve and display curve, with lost samples left out', async () => {
    record();
    const curve = await ask({ bins: 4000 });
    const torqueNm = torquesNm();
    expect(curve).toMatchObject({ sampleRateHz: RATE_HZ, startS: -0.1, endS: 3.899, binStartS: -0.1 });
    expect(curve.minNm).toEqual(torqueNm);
    expect(curve.maxNm).toEqual(torqueNm);
    expect(curve.displayNm).toEqual(displayCurve(torqueNm, RATE_HZ));
    const measuring = measuringCurve(torqueNm, 101);
    curve.measuringNm.forEach((valueNm, slot) => {
      if (Number.isNaN(measuring[slot])) expect(valueNm).toBeNaN();
      else expect(valueNm).toBeCloseTo(measuring[slot] ?? NaN, 9);
    });
  });

  it('is the same when it is looked at again, packed meanwhile or not, and closer only in its bins', async () => {
    record();
    const first = await ask();
    repackTrial(database, 'trial-1');
    expect(await ask()).toEqual(first);
    expect(
      await createTrialCurves(database, () => RATE_HZ).curve({
        trialId: 'trial-1',
        fromS: null,
        toS: null,
        bins: 97,
      }),
    ).toEqual(first);
    const closer = await ask({ fromS: 1, toS: 2 });
    const bins = reduceMinMax(torquesNm(), 1100, 2100, 97);
    expect(closer.minNm).toEqual(bins.min);
    expect(closer.maxNm).toEqual(bins.max);
    expect(closer).toMatchObject({ startS: first.startS, endS: first.endS, binStartS: 1 });
  });

  it('has no display curve where none is asked for, and has it as soon as it is', async () => {
    record();
    const without = await ask({ withDisplay: false });
    expect(without.displayNm).toHaveLength(0);
    expect(without.displayTimeS).toHaveLength(0);
    const after = await ask();
    expect(after.displayNm).toHaveLength(97);
    expect(after.measuringNm).toEqual(without.measuringNm);
  });

  it('brings what its raw samples come to, of what is in sight, where that is asked for', async () => {
    record();
    expect((await ask()).figures).toBeUndefined();
    const { figures } = await ask({ fromS: 1, toS: 2, withFigures: true });
    const there = torquesNm()
      .slice(1100, 2101)
      .filter((torqueNm) => !Number.isNaN(torqueNm));
    expect(figures).toMatchObject({ fromS: 1, toS: 2, sampleCount: there.length, lostCount: 130 });
    expect(figures?.leastNm).toBe(Math.min(...there));
    expect(figures?.greatestNm).toBe(Math.max(...there));
    expect((await ask({ withFigures: true })).figures).toMatchObject({ fromS: -0.1, toS: 3.899 });
  });

  it('brings no figures before the trial has been kept, so that nobody picks results by them', async () => {
    begin();
    expect((await ask({ withFigures: true })).figures).toBeUndefined();
  });

  it('follows the calibration that the trial is read by, also after it has been looked at', async () => {
    record();
    const before = await ask();
    insertCalibration(
      database,
      calibration({
        id: 'calibration-2',
        forward: { gainNmPerCount: 2 * GAIN_NM_PER_COUNT, validToNm: 1000, curve: null },
      }),
      { reason: 'in a test' },
    );
    assignCalibration(
      database,
      'trial-1',
      { calibrationId: 'calibration-2', reason: 'in a test', operator: 'Demo operator', at },
      figures(),
    );
    const after = await ask();
    expect(after.maxNm).toEqual(before.maxNm.map((torqueNm) => 2 * torqueNm));
  });

  it('grows while the trial is recorded', async () => {
    begin();
    expect((await ask()).endS).toBeCloseTo((PER_BLOCK - 1 - 100) / RATE_HZ, 12);
    appendBlock(database, 'trial-1', blockAt(1));
    expect((await ask()).endS).toBeCloseTo((2 * PER_BLOCK - 1 - 100) / RATE_HZ, 12);
  });

  it('has nothing where no row holds samples', async () => {
    begin();
    appendBlock(database, 'trial-1', blockAt(2));
    const { minNm } = await ask({ bins: 3 * PER_BLOCK });
    const isThere = Array.from(minNm, (torqueNm) => !Number.isNaN(torqueNm));
    expect(isThere.indexOf(false)).toBe(PER_BLOCK);
    expect(isThere.lastIndexOf(false)).toBe(2 * PER_BLOCK - 1);
    expect(isThere.filter(Boolean)).toHaveLength(2 * PER_BLOCK);
  });

  it('gives the turn back between its rows, so that the bench does not wait for all of it', async () => {
    record();
    let turns = 0;
    let next = setImmediate(function count() {
      turns += 1;
      next = setImmediate(count);
    });
    await ask();
    clearImmediate(next);
    expect(turns).toBeGreaterThanOrEqual(BLOCKS);
  });

  it('is refused where a row is damaged, each time, and naming its samples', async () => {
    record();
    database.exec('DROP TRIGGER raw_block_is_never_edited');
    database.exec('UPDATE raw_block SET payload = zeroblob(length(payload)) WHERE first_slot = 1000');
    const refusal = { code: 'block-corrupt', details: { firstSlot: 1000, slotCount: PER_BLOCK } };
    await expect(ask()).rejects.toMatchObject(refusal);
    await expect(ask()).rejects.toMatchObject(refusal);
  });

  it('of a trial that is not here is refused', async () => {
    await expect(ask({ trialId: 'no-such-trial' })).rejects.toMatchObject({ code: 'trial-not-found' });
  });
});
