import { describe, expect, it } from 'vitest';
import {
  type ComparedPoint,
  differenceSummary,
  pointsBySense,
} from '../../../../../renderer/calibrate/versions/compare-sentences.ts';

const plain = (text: string): string => text.replaceAll('\u202f', ' ');
const point = (torqueNm: number, differencePercent: number, joint: number | null): ComparedPoint => ({
  sense: torqueNm < 0 ? 'reverse' : 'forward',
  torqueNm,
  differencePercent,
  jointUncertaintyPercent: joint,
});
const newtonMetres = (torqueNm: number): string => `${torqueNm} N·m`;

describe('two versions against each other', () => {
  it('stand apart by sense, rising torque', () => {
    const groups = pointsBySense([point(-400, 1, 1), point(200, 1, 1), point(100, 1, 1), point(-100, 1, 1)]);
    expect(groups.map(({ sense, points }) => [sense, ...points.map(({ torqueNm }) => torqueNm)])).toEqual([
      ['forward', 100, 200],
      ['reverse', -100, -400],
    ]);
  });

  it('are told with the largest difference and where it is', () => {
    const summary = differenceSummary('forward', [point(100, 0.1, 0.4), point(200, -0.3, 0.4)], newtonMetres);
    expect(plain(summary)).toBe(
      'Forward: the other reads up to 0.30 % less, most at 200 N·m. It lies within the joint uncertainty of both versions everywhere.',
    );
  });

  it('say where their uncertainties do not explain it, or that this cannot be said', () => {
    expect(
      differenceSummary('forward', [point(100, 0.5, 0.4), point(200, 0.3, 0.4)], newtonMetres),
    ).toContain('more than the joint uncertainty of both versions at 1 of 2 torques');
    expect(differenceSummary('reverse', [point(-100, 0.5, null)], newtonMetres)).toContain('cannot be said');
  });
});
