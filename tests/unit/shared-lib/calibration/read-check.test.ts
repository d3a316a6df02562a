import { describe, expect, it } from 'vitest';
import { type CheckReading, readCheck } from '../../../../shared-lib/calibration/read-check.ts';
import type { CheckMeans } from '../../../../shared-lib/calibration/daily-check-model.ts';
import { calibration } from '../../../integration/storage-support/bench-fixture.ts';
import { calibrationResult } from '../../../integration/storage-support/calibration-result.ts';

type WeightMeans = Extract<CheckMeans, { kind: 'weight' }>;

/** 10 kg on 1 m at 9.81 m/s2 in air of 1.2 kg/m3: 98.085285 N m, by the definition of conventional mass. */
const means: WeightMeans = {
  kind: 'weight',
  sense: 'forward',
  weights: [
    {
      id: 'weight-1',
      name: '10 kg (demo)',
      massKg: 10,
      densityKgM3: 7950,
      tolerance: { kind: 'own', uncertaintyKg: { kind: 'limit', limit: 0.0005 } },
      certificate: 'demo-7',
      certificateValidUntil: '2026-03-31',
    },
  ],
  arm: {
    id: 'arm-1',
    name: 'Bar (demo)',
    lengthM: 1,
    lengthUncertaintyM: { kind: 'limit', limit: 0.0002 },
    angleDeg: 0,
    angleLimitDeg: 0,
    own: null,
  },
  site: {
    id: 'site-1',
    name: 'Hall (demo)',
    gravity: { source: 'entered', gravityMps2: 9.81 },
    gravityUncertaintyMps2: { kind: 'limit', limit: 0.0001 },
    air: { source: 'standard' },
  },
};
const REFERENCE_NM = 98.085285;
/** 2 x the root of the squares of L, m and g by their limits over sqrt(3), relative. */
const CHECK_SHARE = (2 / Math.sqrt(3)) * Math.hypot(2e-4, 5e-5, 1e-4 / 9.81);

/** Of a calibration of 0.00025 N m per count. */
function reading(errorNm: number, changes: Partial<CheckReading> = {}): CheckReading {
  return {
    means,
    zeroCounts: 400,
    readingCounts: 400 + (REFERENCE_NM + errorNm) / 0.00025,
    calibration: calibration({ enteredUncertaintyPercent: null }),
    result: null,
    earlier: [],
    today: '2026-03-31',
    ...changes,
  };
}

describe('a check with a weight', () => {
  it('is held to the uncertainty that the run behind the calibration came to at bench time', () => {
    // The only step lies at 100 N m; under it its U holds in N m.
    const result = calibrationResult(0.2);
    const limitNm = Math.hypot(0.2, CHECK_SHARE * REFERENCE_NM);
    const good = readCheck(reading(0.99 * limitNm, { result }));
    expect(good).toMatchObject({ verdict: 'passed' });
    expect(good.limitNm).toBeCloseTo(limitNm, 4);
    expect(readCheck(reading(1.01 * limitNm, { result })).verdict).toBe('failed');
  });

  it('is held to what was entered where there was no run, and to the fixed limit of 1 % where nothing was', () => {
    const entered = { calibration: calibration({ enteredUncertaintyPercent: 0.5 }) };
    expect(readCheck(reading(0, entered)).limitNm).toBeCloseTo(
      REFERENCE_NM * Math.hypot(0.005, CHECK_SHARE),
      4,
    );
    expect(readCheck(reading(0)).limitNm).toBeCloseTo(0.01 * REFERENCE_NM, 6);
  });

  it('says of a certificate out of date that it is, and passes all the same', () => {
    expect(readCheck(reading(0)).reasons.map(({ rule }) => rule)).toEqual(['acceptance limit']);
    const { verdict, reasons } = readCheck(reading(0, { today: '2026-04-01' }));
    expect(verdict).toBe('passed');
    expect(reasons.at(-1)).toMatchObject({ rule: 'certificate-out-of-date', isBroken: false });
  });

  it('is refused with a weight that hangs twice, and in a sense that was not calibrated', () => {
    const twice = { ...means, weights: [...means.weights, ...means.weights] };
    expect(() => readCheck(reading(0, { means: twice }))).toThrow(
      expect.objectContaining({ code: 'invalid-state' }),
    );
    expect(() => readCheck(reading(0, { means: { ...means, sense: 'reverse' } }))).toThrow(
      expect.objectContaining({ code: 'calibration-sense-missing' }),
    );
  });
});

describe('a check with the shunt', () => {
  it('takes no reference that is none', () => {
    const shunt = { means: { kind: 'shunt' }, readingCounts: 401 } as const;
    expect(() => readCheck(reading(0, shunt))).toThrow(
      expect.objectContaining({ code: 'input-out-of-range' }),
    );
  });
});
