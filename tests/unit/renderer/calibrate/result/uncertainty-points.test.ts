import { describe, expect, it } from 'vitest';
import { resultTorque } from '../../../../../shared-lib/calibration/words/result-figures.ts';
import {
  uncertaintyCurvePoints,
  uncertaintyStepPoints,
} from '../../../../../renderer/calibrate/result/uncertainty-points.ts';
import { combined, sampleSense, sampleStep, sampleTerms } from './sample-result.ts';

/** A reverse sense, whose torques are negative: 1 % of 100 N·m, 0.5 % of 200 N·m. */
const step = (level: number, torqueNm: number, expandedNm: number) => ({
  ...sampleStep(level, torqueNm, sampleTerms),
  atCalibration: combined(expandedNm, Math.abs(torqueNm)),
});
const reverse = sampleSense({
  sense: 'reverse',
  steps: [step(1, -100, 1), step(2, -200, 1)],
  validFromNm: 100,
  validToNm: 200,
});

describe('curve of the uncertainty', () => {
  it('runs over the calibrated range in rising torque without a sign, through the steps', () => {
    const points = uncertaintyCurvePoints(reverse, 'calibration');
    expect(points[0]).toEqual({ torqueNm: 100, percent: 1 });
    expect(points.at(-1)).toEqual({ torqueNm: 200, percent: 0.5 });
    const torques = points.map(({ torqueNm }) => torqueNm);
    expect(torques).toEqual([...torques].sort((a, b) => a - b));
    expect(new Set(torques).size).toBe(torques.length);
  });

  it('is what the uncertainty in N·m is of the torque between the steps', () => {
    const middle = uncertaintyCurvePoints(reverse, 'calibration').find(({ torqueNm }) => torqueNm === 150);
    expect(middle?.percent).toBeCloseTo(100 / 150, 12);
  });

  it('marks the steps themselves', () => {
    expect(uncertaintyStepPoints(reverse, 'calibration')).toEqual([
      { torqueNm: 100, percent: 1 },
      { torqueNm: 200, percent: 0.5 },
    ]);
  });
});

it('torque in a result has no sign of its own: its sense has it', () => {
  expect(resultTorque(reverse, 'Nm').number(-200)).toBe('200.0');
});
