import { describe, expect, it } from 'vitest';
import { createTorqueConverter } from '../../../../shared-lib/calibration/apply-calibration.ts';
import { computeCalibration } from '../../../../shared-lib/calibration/compute-calibration.ts';
import type { RatedOutputInput } from '../../../../shared-lib/calibration/rated-output.ts';

/** 350 ohm with 87 325 ohm give exactly 1 mV/V (fixture shunt-calibration.json), here 250 000 counts. */
const byShunt: RatedOutputInput = {
  method: 'ratedOutput',
  ratedOutputMvPerV: 2,
  capacityNm: 1500,
  zeroCounts: -1200,
  countsSign: 1,
  scale: { kind: 'shunt', bridgeOhm: 350, shuntOhm: 87_325, shuntCounts: 248_800 },
};
const asStated: RatedOutputInput = { ...byShunt, scale: { kind: 'stated', countsPerMvPerV: 250_000 } };

const withShunt = (change: { shuntOhm?: number; shuntCounts?: number }): RatedOutputInput => ({
  ...byShunt,
  scale: { kind: 'shunt', bridgeOhm: 350, shuntOhm: 87_325, shuntCounts: 248_800, ...change },
});

describe('a calibration from the rated output', () => {
  it.each([
    ['the shunt', byShunt],
    ['the stated scale', asStated],
  ])('gives both senses one gain by %s', (_, input) => {
    const { forward, reverse, gravityMps2, forwardTorqueNm, reverseTorqueNm } = computeCalibration(input);
    // 2 mV/V at 1500 N m are 500 000 counts.
    expect(forward?.gainNmPerCount).toBeCloseTo(0.003, 14);
    expect(forward).toEqual(reverse);
    expect(forward).toMatchObject({ validToNm: 1500, curve: null });
    expect([gravityMps2, forwardTorqueNm, reverseTorqueNm]).toEqual([null, null, null]);
  });

  it('reads the rated torque at the counts of the rated output, and reverse on the other side', () => {
    const converter = createTorqueConverter({
      calibration: computeCalibration(byShunt),
      zeroCounts: -1200,
      senseSign: 1,
    });
    expect(converter.toTorqueNm(498_800)).toBeCloseTo(1500, 9);
    expect(converter.toTorqueNm(-501_200)).toBeCloseTo(-1500, 9);
  });

  it('has the sign of the load, wherever the shunt moved the counts', () => {
    for (const shuntCounts of [248_800, -251_200]) {
      const input: RatedOutputInput = { ...withShunt({ shuntCounts }), countsSign: -1 };
      expect(computeCalibration(input).forward?.gainNmPerCount).toBeCloseTo(-0.003, 14);
    }
  });

  it('says how little it rests on', () => {
    const { remarks } = computeCalibration(byShunt);
    expect(remarks).toEqual([
      expect.stringMatching(
        /^Lower grade of evidence: it rests on the maker’s figure and on a shunt, which is not a calibration uncertainty\./,
      ),
      expect.stringMatching(/^No torque was applied\..*1500\.0.N·m \(1106\.3.ft·lbf\)/),
      expect.stringMatching(/^The shunt is worth 1\.0000.mV\/V/),
    ]);
    expect(computeCalibration(asStated).remarks).toEqual([
      expect.stringContaining('the scale that the amplifier’s maker states'),
      expect.stringContaining('No torque was applied'),
    ]);
  });

  it('refuses a shunt that hardly moved the counts', () => {
    for (const shuntCounts of [-1200, -1101, -1299]) {
      expect(() => computeCalibration(withShunt({ shuntCounts }))).toThrow(
        expect.objectContaining({
          code: 'calibration-degenerate',
          message: expect.stringContaining('No calibration was stored') as string,
        }) as Error,
      );
    }
    expect(computeCalibration(withShunt({ shuntCounts: -1100 })).remarks).toContain(
      'The scale rests on a deflection of 100 counts: one count is worth 1.0 % of it.',
    );
  });

  it('refuses a stated scale by which the whole rated output would hardly move the counts', () => {
    const stated = (countsPerMvPerV: number): RatedOutputInput => ({
      ...asStated,
      scale: { kind: 'stated', countsPerMvPerV },
    });
    for (const countsPerMvPerV of [49.9, 1e-9, 5e-324]) {
      expect(() => computeCalibration(stated(countsPerMvPerV))).toThrow(
        expect.objectContaining({ code: 'calibration-degenerate' }),
      );
    }
    expect(computeCalibration(stated(50)).forward?.gainNmPerCount).toBeCloseTo(15, 9);
  });

  it('asks about a shunt that is worth far less or more than the rated output, such as with kilohms as ohms', () => {
    const asked = (input: RatedOutputInput): string[] =>
      computeCalibration(input).remarks.filter((remark) => remark.includes('Check the resistances'));
    expect(asked(withShunt({ shuntOhm: 100 }))).toEqual([
      // 350 ohm with 43 575 ohm give exactly 2 mV/V (fixture shunt-calibration.json).
      expect.stringMatching(/one that shows it whole has 43\.6.kΩ/),
    ]);
    expect(asked(withShunt({ shuntOhm: 1_000_000 }))).toHaveLength(1);
    expect(asked(byShunt)).toEqual([]);
  });
});
