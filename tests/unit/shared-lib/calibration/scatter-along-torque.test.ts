import { describe, expect, it } from 'vitest';
import {
  scatterAlongTorque,
  type StepSquares,
} from '../../../../shared-lib/calibration/scatter-along-torque.ts';

const TORQUES_NM = [-20, -40, -80, -120, -160, -200];

/** Mean squares without chance in them: what comes out has to be exactly what went in. */
const stepsOf = (variance: (torqueNm: number) => number, torquesNm = TORQUES_NM): StepSquares[] =>
  torquesNm.map((torqueNm) => ({ torqueNm, meanSquare: variance(torqueNm), degreesOfFreedom: 2.5 }));

describe('the scatter of readings along the torque', () => {
  it('is the same everywhere, with all degrees of freedom, where it was so at every step', () => {
    const along = scatterAlongTorque(stepsOf(() => 49));
    for (const torqueNm of TORQUES_NM) {
      expect(along.at(torqueNm).standardDeviationCounts).toBeCloseTo(7, 9);
      expect(along.at(torqueNm).degreesOfFreedom).toBeLessThanOrEqual(15);
    }
    expect(along.at(-80).degreesOfFreedom).toBeGreaterThan(10);
  });

  it('grows with the torque where it did', () => {
    const along = scatterAlongTorque(stepsOf((torqueNm) => (0.5 * torqueNm) ** 2));
    expect(along.at(-200).standardDeviationCounts).toBeCloseTo(100, 6);
    expect(along.at(-20).standardDeviationCounts).toBeCloseTo(10, 6);
  });

  it('has both parts where there are both, and knows each end less well than the middle knows the whole', () => {
    const along = scatterAlongTorque(stepsOf((torqueNm) => 400 + (0.5 * torqueNm) ** 2));
    for (const torqueNm of TORQUES_NM) {
      expect(along.at(torqueNm).standardDeviationCounts ** 2).toBeCloseTo(400 + (0.5 * torqueNm) ** 2, 5);
      expect(along.at(torqueNm).degreesOfFreedom).toBeGreaterThan(1);
      expect(along.at(torqueNm).degreesOfFreedom).toBeLessThanOrEqual(15);
    }
    expect(along.at(-200).degreesOfFreedom).toBeLessThan(15);
  });

  it('is never less than nothing where it falls with the torque by chance', () => {
    const along = scatterAlongTorque(stepsOf((torqueNm) => 50_000 / Math.abs(torqueNm)));
    expect(along.at(-200).standardDeviationCounts).toBeGreaterThan(0);
    expect(along.at(-200)).toEqual(along.at(-20));
  });

  it('is pooled under three steps, and nothing where readings repeat to the last count', () => {
    const two = scatterAlongTorque(stepsOf((torqueNm) => torqueNm ** 2, [30, 40]));
    expect(two.at(30).standardDeviationCounts ** 2).toBeCloseTo((900 + 1600) / 2, 9);
    expect(two.at(30).degreesOfFreedom).toBe(5);
    expect(scatterAlongTorque(stepsOf(() => 0)).at(-20).standardDeviationCounts).toBe(0);
  });
});
