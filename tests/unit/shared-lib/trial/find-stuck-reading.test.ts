import { describe, expect, it } from 'vitest';
import { findStuckReading } from '../../../../shared-lib/trial/find-stuck-reading.ts';
import { synthesise } from './synthetic-run.ts';

const NM_PER_COUNT = 0.1;

/** A pull that moves by two counts from sample to sample, and stands at one from `fromS` to `toS`. */
function pull(
  { fromS, toS, standsAtNm = 200 }: { fromS: number; toS: number; standsAtNm?: number },
  { rateHz = 1000, flickerAtRest = 2 } = {},
) {
  let index = 0;
  const run = synthesise({
    rateHz,
    plannedS: 5,
    onsetS: 0,
    torqueNm: (t) => {
      index += 1;
      if (t >= fromS && t < toS) return standsAtNm;
      const counts = t < 0 ? (index % 2) * flickerAtRest : 2000 + 2 * (index % 2) + 1;
      return counts * NM_PER_COUNT;
    },
  });
  return { run, counts: Int32Array.from(run.rawNm, (value) => Math.round(value / NM_PER_COUNT)) };
}

const find = (
  { run, counts }: ReturnType<typeof pull>,
  limits: { onsetLevelNm?: number; untilS?: number; converterBits?: number } = {},
) => findStuckReading(run, counts, { onsetLevelNm: 5, untilS: 5, converterBits: 24, ...limits });

describe('a count that stands still under load', () => {
  it('is found with its place, its length and its torque, and with how still the reading is at rest', () => {
    const found = { fromS: 2, durationS: 1.5, torqueNm: 200 };
    expect(find(pull({ fromS: 2, toS: 3.501 }))).toEqual({
      fromS: expect.closeTo(found.fromS, 9) as number,
      durationS: expect.closeTo(found.durationS, 9) as number,
      torqueNm: found.torqueNm,
      atRest: 'flickers',
    });
    const ofQuiet = pull({ fromS: 2, toS: 3.501 }, { flickerAtRest: 1 });
    expect(find(ofQuiet)).toMatchObject({ atRest: 'still' });
  });

  it('must stand for a second, and for 50 samples where they come slowly', () => {
    expect(find(pull({ fromS: 2, toS: 3 }))).toBeNull();
    expect(find(pull({ fromS: 2, toS: 3.001 }))).not.toBeNull();
    expect(find(pull({ fromS: 2, toS: 3.2 }, { rateHz: 40 }))).toBeNull();
    expect(find(pull({ fromS: 2, toS: 3.25 }, { rateHz: 40 }))).not.toBeNull();
  });

  it('counts in either direction from the onset level on, and not at rest', () => {
    for (const [standsAtNm, isFound] of [
      [5.1, true],
      [5, false],
      [0, false],
      [-5, false],
      [-5.1, true],
    ] as const) {
      expect(find(pull({ fromS: 2, toS: 4, standsAtNm })) !== null, `${standsAtNm}`).toBe(isFound);
    }
  });

  it('is looked for from onset on, and has to begin before the torque was let go', () => {
    // Of the second before onset nothing counts, nor of what follows the end.
    expect(find(pull({ fromS: -0.5, toS: 0.6 }))).toBeNull();
    expect(find(pull({ fromS: -0.5, toS: 1.1 }))).toMatchObject({ fromS: expect.closeTo(0, 9) as number });
    const late = pull({ fromS: 3.002, toS: 5.5 });
    expect(find(late, { untilS: 3 })).toBeNull();
    expect(find(late, { untilS: 3.01 })).toMatchObject({ durationS: expect.closeTo(2.497, 9) as number });
    expect(find(pull({ fromS: 4.8, toS: 6.5 }))).not.toBeNull();
  });

  it('goes on across lost samples, which hold another number', () => {
    const stuck = pull({ fromS: 2, toS: 3.2 });
    stuck.run.rawNm.fill(Number.NaN, 3400, 3500);
    stuck.counts.fill(0, 3400, 3500);
    expect(find(stuck)).toMatchObject({ durationS: expect.closeTo(1.199, 9) as number });
  });

  it('begins behind a lost sample at onset, whatever number that holds', () => {
    const stuck = pull({ fromS: 0, toS: 1.5 });
    stuck.run.rawNm[1000] = Number.NaN;
    expect(find(stuck)).toMatchObject({ fromS: expect.closeTo(0.001, 9) as number, torqueNm: 200 });
  });

  it('says nothing of a converter at the end of its range, which is told as such', () => {
    // 2000 counts.
    const clipped = pull({ fromS: 2, toS: 3.5 });
    expect(find(clipped, { converterBits: 12 })).not.toBeNull();
    expect(
      find({ ...clipped, counts: clipped.counts.map((count) => count + 47) }, { converterBits: 12 }),
    ).toBeNull();
  });

  it('goes by the first half of what lies before onset, from the first sample on', () => {
    const stuck = pull({ fromS: 2, toS: 3.5 }, { flickerAtRest: 0, rateHz: 999 });
    expect(stuck.run.onsetIndex).toBe(999);
    const withMoveAt = (index: number) => ({
      ...stuck,
      counts: stuck.counts.map((count, at) => (at === index ? count + 2 : count)),
    });
    expect(find(withMoveAt(0))).toMatchObject({ atRest: 'flickers' });
    expect(find(withMoveAt(498))).toMatchObject({ atRest: 'flickers' });
    expect(find(withMoveAt(499))).toMatchObject({ atRest: 'still' });
  });

  it('says so where too little is known of its rest', () => {
    const stuck = pull({ fromS: 2, toS: 3.5 }, { flickerAtRest: 0 });
    expect(find(stuck)).toMatchObject({ atRest: 'still' });
    stuck.run.rawNm.fill(Number.NaN, 0, 491);
    expect(find(stuck)).toMatchObject({ atRest: 'unknown' });
    stuck.run.rawNm[490] = 0;
    expect(find(stuck)).toMatchObject({ atRest: 'still' });
  });
});
