import { describe, expect, it } from 'vitest';
import {
  deflectionPoints,
  fittedCounts,
  provisionalResiduals,
  residualPoints,
} from '../../../../../shared-lib/calibration/residual-points.ts';
import { planRun } from '../../../../../shared-lib/calibration/plan-run.ts';
import type { TakenReading } from '../../../../../shared-lib/calibration/run-model.ts';
import { sampleSetup } from '../run/sample-run.ts';
import { sampleSense } from './sample-result.ts';

const readings = planRun(sampleSetup({ series: 'quick', exercises: 0 }), { arm: [100, 200], shortArm: [] });

/** Every planned reading taken, at 4000 counts per N·m from a zero at 500; reverse counts fall. */
function takenAll(countsOf: (torqueNm: number, index: number) => number): TakenReading[] {
  return readings.map(({ index, torqueNm, sense }) => ({
    id: index + 1,
    index,
    meanCounts: 500 + (sense === 'reverse' ? -1 : 1) * countsOf(torqueNm, index),
    standardDeviationCounts: 1,
    spreadCounts: 3,
    driftCountsPerS: 0,
    sampleCount: 1000,
    durationS: 1,
    takenAt: '2026-01-10T09:00:00.000Z',
    by: 'steady',
    flags: [],
  }));
}
const straight = takenAll((torqueNm) => 4000 * torqueNm);

describe('deflections', () => {
  it('are counted from the zero of their series, falling ones too', () => {
    const points = deflectionPoints({ readings, taken: straight }, 'forward');
    expect(
      points.map(({ level, isIncreasing, deflectionCounts }) => [level, isIncreasing, deflectionCounts]),
    ).toEqual([
      [1, true, 400_000],
      [2, true, 800_000],
      [1, false, 400_000],
    ]);
  });

  it('leave out what has no zero yet', () => {
    const withoutZero = straight.filter(({ index }) => readings[index]?.stage !== 'zeroBefore');
    expect(deflectionPoints({ readings, taken: withoutZero }, 'forward')).toEqual([]);
  });

  it('have the sign of torque over counts', () => {
    expect(deflectionPoints({ readings, taken: straight }, 'reverse')[0]?.deflectionCounts).toBe(-400_000);
  });
});

describe('residuals', () => {
  it('are taken from the fit, in percent of it', () => {
    const taken = takenAll((torqueNm, index) => 4000 * torqueNm * (index === 1 ? 1.001 : 1));
    const residuals = residualPoints({ readings, taken }, sampleSense()).map(
      ({ residualPercent }) => residualPercent,
    );
    expect(residuals).toEqual([expect.closeTo(0.1, 9), expect.closeTo(0, 9), expect.closeTo(0, 9)]);
  });

  it('follow a fit with a constant in the reverse sense', () => {
    const reverse = sampleSense({ sense: 'reverse', hasConstant: true, coefficients: [5, 4000, 2] });
    // 5 + 4000 (-10) + 2 (-10)^2
    expect(fittedCounts(reverse, 10)).toBe(-39_795);
  });

  it('stand against a straight line before there is a fit, from the second level on', () => {
    expect(provisionalResiduals({ readings, taken: straight.slice(0, 2) }, 'forward')).toEqual([]);
    const bent = takenAll((torqueNm) => 4000 * torqueNm + torqueNm ** 2).slice(0, 3);
    // Least squares through the zero: (100 410000 + 200 840000) / 50000 = 4180 counts per N·m.
    expect(
      provisionalResiduals({ readings, taken: bent }, 'forward').map(
        ({ residualPercent }) => residualPercent,
      ),
    ).toEqual([
      expect.closeTo((100 * (4100 - 4180)) / 4180, 9),
      expect.closeTo((100 * (4200 - 4180)) / 4180, 9),
    ]);
  });
});
