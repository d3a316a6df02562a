import { describe, expect, it } from 'vitest';
import { distributionFunctions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import {
  correlationOfMeasures,
  lowerTriangle,
  type PullsOfContender,
  scatterOfMeasure,
} from '../../../../shared-lib/standings/scatter-of-measures.ts';

/** Pulls of one contender in one session, as logarithms about 6. */
const pulls = (deviations: readonly number[], sessionId = 's1'): PullsOfContender =>
  new Map([[sessionId, deviations.map((ln, index) => ({ trialId: `${sessionId} ${index}`, ln: 6 + ln }))]]);
const scatterOf = (contenders: readonly PullsOfContender[]) =>
  scatterOfMeasure(contenders, distributionFunctions);
/** Four pulls with a variance of s^2 on three degrees of freedom. */
const four = (s: number): PullsOfContender => pulls([s, -s, s, -s].map((value) => value * Math.sqrt(3 / 4)));

describe('the scatter of a measure', () => {
  it('is pooled from the repeats within sessions', () => {
    // Squares about the means: 2 (0.01)^2 and 2 (0.03)^2 on one degree of freedom each.
    const { standardDeviation, degreesOfFreedom, own } = scatterOf([
      pulls([0.01, -0.01]),
      pulls([0.03, -0.03]),
      pulls([0.5]),
    ]);
    expect(standardDeviation).toBeCloseTo(Math.sqrt(0.001), 12);
    expect(degreesOfFreedom).toBe(2);
    expect(own.size).toBe(0);
    expect(scatterOf([pulls([0.01, -0.01])]).standardDeviation).toBeCloseTo(Math.sqrt(2) * 0.01, 12);
    expect(scatterOf([pulls([0.01])]).standardDeviation).toBeNaN();
  });

  it('is none where all pulls are alike, and nobody stands out of that', () => {
    const { standardDeviation, own } = scatterOf([pulls([0, 0, 0]), pulls([0.1, 0.1, 0.1]), pulls([0, 0])]);
    expect(standardDeviation).toBe(0);
    expect(own.size).toBe(0);
  });

  it('is its own for one that stands out of three degrees of freedom, at one in a hundred shared among those with repeats', () => {
    // F on 3 and 3 degrees of freedom, from scipy: 47.5 is exceeded with probability 0.0050, 56 with 0.0039, 90 with 0.0020.
    const isOwn = (ratio: number, ...others: PullsOfContender[]): boolean =>
      scatterOf([four(Math.sqrt(ratio) * 0.01), ...others]).own.has(0);
    expect(isOwn(56, four(0.01))).toBe(true);
    expect(isOwn(44, four(0.01))).toBe(false);
    // Those with one pull say nothing of scatter and do not share.
    expect(isOwn(56, four(0.01), pulls([0]), pulls([0.2]), pulls([0.1]))).toBe(true);
    // Three with two pulls each do: one in four hundred, 77.
    const two = pulls([0.01, -0.01].map((value) => value / Math.SQRT2));
    expect(isOwn(70, two, two, two)).toBe(false);
    expect(isOwn(85, two, two, two)).toBe(true);
    expect(isOwn(1e6, two, two)).toBe(false);
  });
});

describe('the correlation of measures', () => {
  it('is that of the deviations from the session, two pulls being enough', () => {
    const one = [pulls([0.01, -0.01]), pulls([0.02, 0, -0.02], 's2')];
    const turned = [pulls([-0.02, 0.02]), pulls([-0.04, 0, 0.04], 's2')];
    const matrix = correlationOfMeasures([one, turned]);
    expect(matrix[0]).toEqual([1, expect.closeTo(-1, 12) as number]);
    expect(correlationOfMeasures([[pulls([0.01, -0.01])], [pulls([0.3, 0.1])]])[0]?.[1]).toBeCloseTo(1, 12);
    // No trial has both.
    expect(correlationOfMeasures([[pulls([0.01, -0.01])], [pulls([0.3, 0.1], 's2')]])[0]?.[1]).toBe(0);
  });

  it('gives rows of length one even where the entries cannot be correlations at once by far', () => {
    const lower = lowerTriangle([
      [1, 0.9, -0.9],
      [0.9, 1, 0.9],
      [-0.9, 0.9, 1],
    ]);
    for (const row of lower) expect(Math.hypot(...row)).toBeCloseTo(1, 12);
    expect(lower[2]?.[0]).toBeLessThan(0);
  });
});
