import { describe, expect, it } from 'vitest';
import {
  createTorqueConverter,
  senseForDirection,
} from '../../../../shared-lib/calibration/apply-calibration.ts';

const forward = { gainNmPerCount: 0.5, validToNm: 200, curve: null };
const reverse = { gainNmPerCount: 0.25, validToNm: 100, curve: null };
const both = { calibration: { forward, reverse }, zeroCounts: 10, senseSign: 1 } as const;

describe('createTorqueConverter', () => {
  it('takes the gain of the sense a deflection lies in', () => {
    const { toTorqueNm } = createTorqueConverter(both);
    expect([210, 10, -390].map(toTorqueNm)).toEqual([100, 0, -100]);
  });

  it('finds the senses by gain times deflection where counts fall with torque', () => {
    const { toTorqueNm } = createTorqueConverter({
      ...both,
      calibration: {
        forward: { ...forward, gainNmPerCount: -0.5 },
        reverse: { ...reverse, gainNmPerCount: -0.25 },
      },
    });
    expect([-190, 410].map(toTorqueNm)).toEqual([100, -100]);
  });

  it('turns the sign last, so that a turned clockwise pull still takes the gain of the reverse load', () => {
    const { toTorqueNm, isOutsideRange } = createTorqueConverter({ ...both, senseSign: -1 });
    expect(toTorqueNm(-390)).toBe(100);
    expect(toTorqueNm(210)).toBe(-100);
    expect(isOutsideRange(100)).toBe(false);
    expect(isOutsideRange(101)).toBe(true);
    expect(isOutsideRange(-200)).toBe(false);
    expect(isOutsideRange(-201)).toBe(true);
  });

  it('accepts a zero between two counts', () => {
    expect(createTorqueConverter({ ...both, zeroCounts: 0.5 }).toTorqueNm(1)).toBe(0.25);
  });

  it('marks what lies beyond the applied torque of its sense and never NaN', () => {
    const { isOutsideRange } = createTorqueConverter(both);
    expect([200, 200.01, -100, -100.01, Number.NaN].map(isOutsideRange)).toEqual([
      false,
      true,
      false,
      true,
      false,
    ]);
  });

  it('reads a missing sense with the gain of the other and marks it beyond 1 % of the other range', () => {
    const onlyForward = createTorqueConverter({ ...both, calibration: { forward, reverse: null } });
    expect(onlyForward.toTorqueNm(-190)).toBe(-100);
    expect([-1.9, -2.1, 199].map(onlyForward.isOutsideRange)).toEqual([false, true, false]);

    const onlyReverse = createTorqueConverter({ ...both, calibration: { forward: null, reverse } });
    expect(onlyReverse.toTorqueNm(410)).toBe(100);
    expect([0.9, 1.1, -99].map(onlyReverse.isOutsideRange)).toEqual([false, true, false]);
  });

  it('refuses a calibration without any sense', () => {
    expect(() => createTorqueConverter({ ...both, calibration: { forward: null, reverse: null } })).toThrow(
      expect.objectContaining({ code: 'calibration-missing' }) as Error,
    );
  });

  it('converts a block, with NaN in its gaps', () => {
    const { convertBlock } = createTorqueConverter(both);
    const counts = Int32Array.of(210, 0, 0, 10, 0);
    const gaps = [
      { offset: 1, length: 2 },
      { offset: 4, length: 1 },
    ];
    expect(convertBlock(counts, gaps)).toEqual(Float64Array.of(100, Number.NaN, Number.NaN, 0, Number.NaN));
    const into = new Float64Array(5);
    expect(convertBlock(counts, gaps, into)).toBe(into);
    expect(convertBlock(Int32Array.of(12, 14, 16), [])).toEqual(Float64Array.of(1, 2, 3));
  });

  it('refuses an array of another length and a gap that leaves the block', () => {
    const { convertBlock } = createTorqueConverter(both);
    expect(() => convertBlock(new Int32Array(3), [], new Float64Array(4))).toThrow(RangeError);
    expect(() => convertBlock(new Int32Array(3), [{ offset: 2, length: 2 }])).toThrow(RangeError);
    expect(() => convertBlock(new Int32Array(3), [{ offset: -1, length: 2 }])).toThrow(RangeError);
  });
});

describe('the counts of a torque', () => {
  it('are those that read as it, by the gain of its sense', () => {
    const { toCounts } = createTorqueConverter(both);
    expect([100, 0, -100].map(toCounts)).toEqual([210, 10, -390]);
    const turned = createTorqueConverter({ ...both, senseSign: -1 });
    expect([100, -100].map(turned.toCounts)).toEqual([-390, 210]);
  });
});

describe('senseForDirection', () => {
  it('swaps the senses where the sign is turned', () => {
    expect(senseForDirection('forward', 1)).toBe('forward');
    expect(senseForDirection('reverse', 1)).toBe('reverse');
    expect(senseForDirection('forward', -1)).toBe('reverse');
    expect(senseForDirection('reverse', -1)).toBe('forward');
  });
});

describe('a sense with a curve', () => {
  // Deflection = 2 T + 0.001 T^2 in forward; the gain is that of the greatest torque, 100 N m at 210 counts.
  const curved = {
    gainNmPerCount: 100 / 210,
    validToNm: 100,
    curve: { constantCounts: 0, coefficients: [2, 0.001] },
  };
  const converter = createTorqueConverter({
    calibration: { forward: curved, reverse: null },
    zeroCounts: 1000,
    senseSign: 1,
  });

  it('reads the torque whose deflection the curve gives', () => {
    for (const torqueNm of [0, 1, 25, 50, 99.9, 100]) {
      expect(converter.toTorqueNm(1000 + 2 * torqueNm + 0.001 * torqueNm ** 2)).toBeCloseTo(torqueNm, 10);
    }
  });

  it('is followed also where it bends strongly, to the last digits', () => {
    // 2 T + 0.008 T^2 - 0.00002 T^3: 260 counts at 100 N.m, with a slope from 2 to 3.1.
    const strong = createTorqueConverter({
      calibration: {
        forward: {
          gainNmPerCount: 100 / 260,
          validToNm: 100,
          curve: { constantCounts: 0, coefficients: [2, 0.008, -0.00002] },
        },
        reverse: null,
      },
      zeroCounts: 0,
      senseSign: 1,
    });
    for (const torqueNm of [3, 40, 80, 99]) {
      const deflection = 2 * torqueNm + 0.008 * torqueNm ** 2 - 0.00002 * torqueNm ** 3;
      expect(Math.abs(strong.toTorqueNm(deflection) / torqueNm - 1)).toBeLessThan(1e-14);
    }
  });

  it('goes on as a straight line beyond the greatest torque, which is marked as outside the range', () => {
    const beyondNm = converter.toTorqueNm(1000 + 420);
    expect(beyondNm).toBeCloseTo(200, 10);
    expect(converter.isOutsideRange(beyondNm)).toBe(true);
    expect(converter.toTorqueNm(1000 + 210 + 1e-9)).toBeCloseTo(converter.toTorqueNm(1000 + 210 - 1e-9), 8);
  });

  it('is mirrored where the other sense was not calibrated', () => {
    expect(converter.toTorqueNm(1000 - (2 * 50 + 0.001 * 50 ** 2))).toBeCloseTo(-50, 10);
  });

  it('reads in reverse by a curve of signed torque', () => {
    const reverse = { ...curved, curve: { constantCounts: 0, coefficients: [2, -0.001] } };
    const both = createTorqueConverter({
      calibration: { forward: curved, reverse },
      zeroCounts: 0,
      senseSign: 1,
    });
    expect(both.toTorqueNm(-(2 * 50 + 0.001 * 50 ** 2))).toBeCloseTo(-50, 10);
  });

  it('gives the counts of a torque, the other way round', () => {
    for (const torqueNm of [-80, -3, 0, 7, 60, 140]) {
      expect(converter.toTorqueNm(converter.toCounts(torqueNm))).toBeCloseTo(torqueNm, 9);
    }
  });

  it('keeps a constant as a step at zero', () => {
    const stepped = {
      ...curved,
      curve: { constantCounts: 4, coefficients: [2, 0] },
      gainNmPerCount: 100 / 204,
    };
    const { toTorqueNm } = createTorqueConverter({
      calibration: { forward: stepped, reverse: null },
      zeroCounts: 0,
      senseSign: 1,
    });
    expect(toTorqueNm(104)).toBeCloseTo(50, 10);
  });
});
