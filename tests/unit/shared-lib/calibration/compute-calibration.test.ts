import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createTorqueConverter } from '../../../../shared-lib/calibration/apply-calibration.ts';
import type { CalibrationInput } from '../../../../shared-lib/calibration/calibration-model.ts';
import { computeCalibration } from '../../../../shared-lib/calibration/compute-calibration.ts';

type Direct = Extract<CalibrationInput, { method: 'direct' }>;
type OneWeight = Extract<CalibrationInput, { method: 'oneWeight' }>;

const direct: Direct = {
  method: 'direct',
  zeroCounts: 1000,
  forward: { torqueNm: 200, counts: 401_000 },
  reverse: { torqueNm: 200, counts: -399_000 },
};

/** Case D3 of the dead-weight fixture: 196.2225622 N.m. */
const oneWeight: OneWeight = {
  method: 'oneWeight',
  massKg: 20,
  materialDensityKgM3: 7850,
  armLengthM: 1,
  armAngleDeg: 0,
  gravity: { source: 'entered', gravityMps2: 9.8126 },
  airDensityKgM3: 1.2,
  zeroCounts: -500,
  forwardCounts: 99_500,
  reverseCounts: -100_500,
};

describe('computeCalibration', () => {
  it('gives both senses the sign of torque over counts', () => {
    expect(computeCalibration(direct)).toEqual({
      forward: { gainNmPerCount: 0.0005, validToNm: 200, curve: null },
      reverse: { gainNmPerCount: 0.0005, validToNm: 200, curve: null },
      gravityMps2: null,
      forwardTorqueNm: 200,
      reverseTorqueNm: 200,
      remarks: [],
    });
  });

  it('gives negative gains where a forward load lowers the counts', () => {
    const { forward, reverse } = computeCalibration({
      ...direct,
      forward: { torqueNm: 200, counts: -399_000 },
      reverse: { torqueNm: 100, counts: 201_000 },
    });
    expect(forward).toEqual({ gainNmPerCount: -0.0005, validToNm: 200, curve: null });
    expect(reverse).toEqual({ gainNmPerCount: -0.0005, validToNm: 100, curve: null });
  });

  it('computes the torque of one weight', () => {
    const { forward, reverse, gravityMps2, forwardTorqueNm, reverseTorqueNm } = computeCalibration(oneWeight);
    expect(gravityMps2).toBe(9.8126);
    expect(forwardTorqueNm).toBeCloseTo(196.2225622, 10);
    expect(reverseTorqueNm).toBe(forwardTorqueNm);
    expect(forward?.gainNmPerCount).toBeCloseTo(196.2225622 / 100_000, 14);
    expect(reverse?.gainNmPerCount).toBeCloseTo(196.2225622 / 100_000, 14);
  });

  it('computes gravity from the location and says how far it can be trusted', () => {
    const { gravityMps2, remarks } = computeCalibration({
      ...oneWeight,
      gravity: { source: 'location', latitudeDeg: 52.5, heightM: 80 },
    });
    expect(gravityMps2).toBeCloseTo(9.812665906, 9);
    expect(remarks).toEqual([expect.stringContaining('limit from memory')]);
  });

  it('leaves a sense that was not loaded empty and says what follows', () => {
    const { forward, reverse, reverseTorqueNm, remarks } = computeCalibration({ ...direct, reverse: null });
    expect(forward?.validToNm).toBe(200);
    expect([reverse, reverseTorqueNm]).toEqual([null, null]);
    expect(remarks).toEqual([expect.stringContaining('Reverse is not calibrated')]);
    expect(computeCalibration({ ...oneWeight, forwardCounts: null }).forward).toBeNull();
  });

  it('remarks on gains that differ, and names the unit where the ratio is that of two units', () => {
    const remarksAt = (torqueNm: number): readonly string[] =>
      computeCalibration({ ...direct, forward: { torqueNm, counts: 401_000 } }).remarks;
    expect(remarksAt(209)).toEqual([]);
    expect(remarksAt(220)).toEqual([expect.stringMatching(/differ by 10\.0 %.*their units/)]);
    expect(remarksAt(200 * 1.356)).toEqual([
      expect.stringMatching(/differ by 35\.6 %.*ratio of ft·lbf to N·m/),
    ]);
    expect(remarksAt(200 / 1.356)).toEqual([expect.stringContaining('ratio of ft·lbf to N·m')]);
  });

  it('remarks on a deflection of few counts', () => {
    const { remarks } = computeCalibration({ ...direct, forward: { torqueNm: 0.25, counts: 1500 } });
    expect(remarks).toEqual(['Forward rests on a deflection of 500 counts: one count is worth 0.2 % of it.']);
  });

  it.each<[string, CalibrationInput, string]>([
    ['no sense loaded', { ...direct, forward: null, reverse: null }, 'Neither sense was loaded'],
    [
      'counts that stayed at zero',
      { ...direct, forward: { torqueNm: 200, counts: 1000 } },
      'forward load moved',
    ],
    [
      'a deflection of 99 counts',
      { ...direct, reverse: { torqueNm: 200, counts: 901 } },
      'reverse load moved',
    ],
    [
      'both senses on one side',
      { ...direct, reverse: { torqueNm: 200, counts: 300_000 } },
      'same side of zero',
    ],
  ])('refuses %s', (_, input, sentence) => {
    expect(() => computeCalibration(input)).toThrow(
      expect.objectContaining({
        code: 'calibration-degenerate',
        message: expect.stringContaining(sentence) as string,
      }) as Error,
    );
  });

  it('reads its own loads back: +T at the forward counts, -T at the reverse counts', () => {
    const deflection = fc.integer({ min: 100, max: 8_000_000 });
    const torque = fc.double({ min: 0.1, max: 5000, noNaN: true });
    fc.assert(
      fc.property(
        fc.integer({ min: -100_000, max: 100_000 }),
        deflection,
        deflection,
        torque,
        torque,
        fc.constantFrom(1, -1),
        (zeroCounts, up, down, forwardNm, reverseNm, side) => {
          const input: Direct = {
            method: 'direct',
            zeroCounts,
            forward: { torqueNm: forwardNm, counts: zeroCounts + side * up },
            reverse: { torqueNm: reverseNm, counts: zeroCounts - side * down },
          };
          const converter = createTorqueConverter({
            calibration: computeCalibration(input),
            zeroCounts,
            senseSign: 1,
          });
          const readForward = converter.toTorqueNm(zeroCounts + side * up);
          const readReverse = converter.toTorqueNm(zeroCounts - side * down);
          expect(readForward / forwardNm).toBeCloseTo(1, 12);
          expect(readReverse / -reverseNm).toBeCloseTo(1, 12);
          expect([readForward, readReverse].some(converter.isOutsideRange)).toBe(false);
        },
      ),
    );
  });
});
