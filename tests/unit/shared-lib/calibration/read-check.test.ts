import { describe, expect, it } from 'vitest';
import {
  type CheckReading,
  isFailureOpen,
  likeChecks,
  newReferenceReasonOf,
  readCheck,
  refuseUnfitReference,
} from '../../../../shared-lib/calibration/read-check.ts';
import type { CheckMeans, DailyCheck } from '../../../../shared-lib/calibration/daily-check-model.ts';
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
    newReferenceReason: null,
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

  it('passes with a zero that was read without the arm, where its own weight is counted', () => {
    // 20 kg at 0.5 m and the arm's 1.5 kg at 0.31 m, by the definition of conventional mass.
    const own = { massKg: 1.5, densityKgM3: 7950, centreOfMassM: 0.31 };
    const arm = { ...means.arm, lengthM: 0.5, own };
    const weights = means.weights.map((weight) => ({ ...weight, massKg: 20 }));
    const loadedNm = 9.81 * (1 - 1.2 / 8000) * (20 * 0.5 + 1.5 * 0.31);
    const bareArmNm = 9.81 * (1 - 1.2 / 8000) * 1.5 * 0.31;
    const read = (zeroNm: number) =>
      readCheck({
        ...reading(0),
        means: { ...means, arm, weights },
        zeroCounts: 400 + zeroNm / 0.00025,
        readingCounts: 400 + loadedNm / 0.00025,
      });
    expect(read(0)).toMatchObject({ verdict: 'passed' });
    expect(read(0).referenceNm).toBeCloseTo(loadedNm, 3);
    expect(read(bareArmNm).verdict).toBe('failed');
  });

  it('says of a load beyond the calibrated range that its reading is extrapolated', () => {
    const upTo = (validToNm: number) => ({
      calibration: calibration({ forward: { gainNmPerCount: 0.00025, validToNm, curve: null } }),
    });
    const rulesOf = (read: { reasons: DailyCheck['reasons'] }) => read.reasons.map(({ rule }) => rule);
    const beyond = readCheck(reading(0, upTo(60)));
    expect(beyond.verdict).toBe('passed');
    expect(rulesOf(beyond)).toContain('outside-range');
    expect(rulesOf(readCheck(reading(0, upTo(REFERENCE_NM))))).not.toContain('outside-range');
    // The top weight of the calibration, hung in thinner air, lies no further off than it is known.
    expect(rulesOf(readCheck(reading(0, upTo(REFERENCE_NM * (1 - 1e-5)))))).not.toContain('outside-range');
  });
});

describe('a check with the shunt', () => {
  const shunt = { kind: 'shunt' } as const;
  const calibrated = calibration({ forward: { gainNmPerCount: 0.00025, validToNm: 1000, curve: null } });
  const readShunt = (
    torqueNm: number,
    changes: Partial<CheckReading> = {},
  ): { taken: CheckReading; read: ReturnType<typeof readCheck> } => {
    const taken: CheckReading = {
      ...reading(0),
      means: shunt,
      calibration: calibrated,
      readingCounts: 400 + torqueNm / 0.00025,
      ...changes,
    };
    return { taken, read: readCheck(taken) };
  };
  const stored = (id: number, torqueNm: number, changes: Partial<CheckReading> = {}): DailyCheck => {
    const { taken, read } = readShunt(torqueNm, changes);
    return {
      id,
      transducerId: 'transducer-demo',
      calibrationId: 'calibration-1',
      at: `2026-03-0${id}T08:00:00.000Z`,
      operator: 'Demo operator',
      means: shunt,
      zeroCounts: taken.zeroCounts,
      readingCounts: taken.readingCounts,
      ...read,
    };
  };

  it('takes no reference that noise and drift of the zero could be', () => {
    const refuse =
      ({ taken, read }: ReturnType<typeof readShunt>) =>
      () => {
        refuseUnfitReference(read, taken);
      };
    expect(refuse(readShunt(0.00125))).toThrow(expect.objectContaining({ code: 'input-out-of-range' }));
    expect(refuse(readShunt(-19.9))).toThrow(expect.objectContaining({ code: 'input-out-of-range' }));
    expect(refuse(readShunt(20))).not.toThrow();
    // What is judged is stored, however small it is: a shunt that does nothing any more fails.
    const earlier = [stored(1, 250)];
    const { read } = readShunt(0.001, { earlier });
    expect(read.verdict).toBe('failed');
    expect(refuse(readShunt(0.001, { earlier }))).not.toThrow();
    const weighed = { ...readShunt(0), taken: reading(0, { newReferenceReason: 'For no reason.' }) };
    expect(refuse(weighed)).toThrow(expect.objectContaining({ code: 'invalid-state' }));
  });

  it('is held to a new reference from then on, which keeps its reason', () => {
    const first = stored(1, 50);
    const failed = stored(2, 250, { earlier: [first] });
    expect(failed.verdict).toBe('failed');
    const reason = 'The shunt was not on (demo).';
    const renewed = stored(3, 250, { earlier: [failed, first], newReferenceReason: reason });
    expect(renewed).toMatchObject({ verdict: 'reference', referenceNm: 250, errorNm: 0 });
    expect(newReferenceReasonOf(renewed)).toBe(reason);
    expect(newReferenceReasonOf(first)).toBeNull();
    const passed = stored(4, 250.2, { earlier: [renewed, failed, first] });
    expect(passed).toMatchObject({ verdict: 'passed', referenceNm: 250 });
    // Errors from the earlier reference say nothing of those from this one.
    expect(likeChecks([passed, renewed, failed, first], shunt)).toEqual([passed]);
  });

  it('comes after a failure that is open until a pass would have shown it, whatever else passes', () => {
    const judged = (verdict: DailyCheck['verdict'], checkedWith: CheckMeans): DailyCheck => ({
      ...stored(1, 250),
      verdict,
      means: checkedWith,
    });
    const reverse = { ...means, sense: 'reverse' } as const;
    const weightFailed = judged('failed', means);
    expect(isFailureOpen([judged('passed', reverse), weightFailed])).toBe(true);
    expect(isFailureOpen([judged('passed', shunt), weightFailed])).toBe(true);
    expect(isFailureOpen([judged('reference', shunt), weightFailed])).toBe(true);
    expect(isFailureOpen([judged('passed', means), weightFailed])).toBe(false);
    // A pass of before the failure closes nothing.
    expect(isFailureOpen([weightFailed, judged('passed', means)])).toBe(true);
    const shuntFailed = judged('failed', shunt);
    expect(isFailureOpen([shuntFailed])).toBe(true);
    for (const checkedWith of [shunt, means, reverse]) {
      expect(isFailureOpen([judged('passed', checkedWith), shuntFailed])).toBe(false);
    }
    expect(isFailureOpen([judged('passed', means)])).toBe(false);
  });

  it('says that its torque is extrapolated where it lies beyond the calibrated range', () => {
    expect(readShunt(1001).read.reasons.map(({ rule }) => rule)).toEqual(['reference', 'outside-range']);
    expect(readShunt(999).read.reasons.map(({ rule }) => rule)).toEqual(['reference']);
  });
});
