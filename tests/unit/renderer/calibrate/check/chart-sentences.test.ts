import { describe, expect, it } from 'vitest';
import {
  chartSummary,
  errorPoints,
  errorSummary,
} from '../../../../../renderer/calibrate/check/chart-sentences.ts';
import { countTicks } from '../../../../../renderer/calibrate/check/CheckCharts.tsx';
import { demoCharts, demoCheck, demoChecks } from '../../../../helpers/scripted-calibration.ts';

const plain = (text: string): string => text.replaceAll('\u202f', ' ');

describe('charts of the daily check in words', () => {
  it('give each error in percent of its load, oldest first, without the reference of a shunt', () => {
    const checks = [
      demoCheck(3, 2.4),
      demoCheck(2, 0.3923),
      demoCheck(1, 0, { verdict: 'reference', limitNm: null }),
    ];
    const points = errorPoints(checks);
    expect(points.map(({ errorPercent }) => errorPercent.toFixed(3))).toEqual(['0.100', '0.612']);
    expect(points.map(({ isFailed }) => isFailed)).toEqual([false, true]);
    expect(plain(errorSummary(points))).toBe(
      '2 checks under this calibration, 1 failed. The newest reads 0.61 % too much, where up to 0.28 % either way may be.',
    );
  });

  it('say that there are none yet', () => {
    expect(errorSummary([])).toBe('No checks yet under this calibration.');
  });

  it('name the checks outside and where the newest lies', () => {
    const [individuals] = demoCharts(demoChecks(24));
    if (individuals === undefined) throw new Error('There are charts.');
    const summary = plain(chartSummary(individuals, (at) => at.slice(0, 10)));
    expect(summary).toContain('24 checks about 0.08 %');
    expect(summary).toContain('1 of them lies outside: 2026-02-03');
    expect(summary).toContain('limits −0.20 to 0.36 %');
  });

  it('count at most about ten ticks', () => {
    expect(countTicks(4).map(({ label }) => label)).toEqual(['1', '2', '3', '4']);
    expect(countTicks(24).map(({ value }) => value)).toEqual([1, 5, 10, 15, 20]);
    expect(countTicks(0)).toEqual([]);
  });
});
