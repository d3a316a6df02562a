import { describe, expect, it } from 'vitest';
import { isStillAtRest, readZero, refuseLoad, type Zero } from '../../../../main/bench/read-zero.ts';
import { AppError } from '../../../../shared-lib/app-error.ts';
import type { CalibrationVersion } from '../../../../shared-lib/calibration/calibration-model.ts';

const RATE_HZ = 80;
const calibration: CalibrationVersion = {
  id: 'calibration-1',
  transducerId: 'transducer-1',
  amplifierId: null,
  label: 'Bench weights',
  method: 'direct',
  forward: { gainNmPerCount: 0.01, validToNm: 1000, curve: null },
  reverse: { gainNmPerCount: 0.011, validToNm: 1000, curve: null },
  enteredUncertaintyPercent: null,
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

function recordOf(countsAt: (index: number) => number) {
  const counts = Int32Array.from({ length: RATE_HZ }, (_, index) => Math.round(countsAt(index)));
  const mean = counts.reduce((sum, value) => sum + value, 0) / counts.length;
  return { counts, meanCounts: mean, spreadCounts: 0 };
}

const read = (
  countsAt: (index: number) => number,
  changes: Partial<Parameters<typeof readZero>[0]> = {},
): Zero =>
  readZero({
    record: recordOf(countsAt),
    calibration,
    capacityNm: 1000,
    nominalRateHz: RATE_HZ,
    converterBits: 24,
    takenAt: '2026-01-01T10:00:00.000Z',
    ...changes,
  });

const codeOf = (work: () => unknown): string => {
  try {
    work();
  } catch (error) {
    if (error instanceof AppError) return error.code;
    throw error;
  }
  return 'taken';
};

describe('the zero from a second of samples', () => {
  it('is their mean, and a steady reading has no noise', () => {
    expect(read(() => 5000)).toEqual({
      counts: 5000,
      noiseNm: 0,
      spreadCounts: 0,
      takenAt: '2026-01-01T10:00:00.000Z',
    });
  });

  it('is refused while the reading moves: a ramp of 1 % of capacity within the second', () => {
    // 1 % of 1000 N·m is 909 counts of the larger gain.
    expect(codeOf(() => read((index) => (index * 909) / RATE_HZ))).toBe('not-steady');
    expect(codeOf(() => read((index) => (index * 450) / RATE_HZ))).toBe('taken');
  });

  it('is refused where any of them stands at an end of the converter, though it is as steady as can be', () => {
    expect(codeOf(() => read(() => 2 ** 23 - 1))).toBe('at-rail');
    expect(codeOf(() => read((index) => (index === 40 ? -(2 ** 23) : 5000), { calibration: null }))).toBe(
      'at-rail',
    );
    expect(codeOf(() => read(() => 2 ** 23 - 2))).toBe('taken');
    expect(codeOf(() => read(() => 2 ** 15 - 1, { converterBits: 16 }))).toBe('at-rail');
  });

  it('is taken from any record where there is nothing to judge it by', () => {
    expect(read((index) => index * 1000, { calibration: null }).noiseNm).toBeNull();
    expect(codeOf(() => read((index) => index * 1000, { capacityNm: null }))).toBe('taken');
  });
});

describe('a transducer at rest', () => {
  it('is still where its counts flicker between two that lie side by side, and not where they flicker by more', () => {
    expect(isStillAtRest(read((index) => 5000 + (index % 2)))).toBe(true);
    expect(isStillAtRest(read((index) => 5000 + 2 * (index % 2)))).toBe(false);
    expect(isStillAtRest(null)).toBe(false);
  });
});

describe('a zero that follows drift', () => {
  const zeroAt = (counts: number): Zero => ({
    counts,
    noiseNm: 0,
    spreadCounts: 0,
    takenAt: '2026-01-01T10:00:00.000Z',
  });
  const follow = (shiftCounts: number) =>
    codeOf(() => {
      refuseLoad({
        before: zeroAt(100),
        now: zeroAt(100 + shiftCounts),
        calibration,
        senseSign: 1,
        capacityNm: 1000,
      });
    });

  it('goes along with 0.5 % of capacity in either sense, and takes more for a load', () => {
    expect([follow(499), follow(-454)]).toEqual(['taken', 'taken']);
    expect([follow(501), follow(-456)]).toEqual(['not-unloaded', 'not-unloaded']);
  });
});
