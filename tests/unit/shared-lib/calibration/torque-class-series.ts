import type { PlannedReading, TakenReading } from '../../../../shared-lib/calibration/run-model.ts';
import example from '../../../fixtures/reference-values/torque-class.json' with { type: 'json' };

const { inventedExample } = example;

/** The invented readings of the fixture as those of a full run: counts are nV/V, so that nothing is rounded. */
export const SCALE = 1e9;

type Stage = PlannedReading['stage'];

/** Readings of one series, with its zero of 0; decreasing ones follow their increasing ones. */
export function torqueClassRun(): { readings: PlannedReading[]; taken: TakenReading[] } {
  const readings: PlannedReading[] = [];
  const taken: TakenReading[] = [];
  const add = (stage: Stage, mounting: number, series: number, level: number, value: number): void => {
    const index = readings.length;
    const torqueNm = level === 0 ? 0 : (inventedExample.torque_Nm[level - 1] ?? Number.NaN);
    readings.push({
      index,
      sense: 'forward',
      stage,
      mounting,
      series,
      level,
      arm: 'arm',
      torqueNm,
      handling: null,
    });
    taken.push({
      id: index + 1,
      index,
      meanCounts: value * SCALE,
      standardDeviationCounts: 0,
      spreadCounts: 0,
      driftCountsPerS: 0,
      sampleCount: 100,
      durationS: 30,
      takenAt: '2026-01-10T09:00:00.000Z',
      by: 'steady',
      flags: [],
    });
  };
  const up = (mounting: number, series: number, values: readonly number[]): void => {
    add('zeroBefore', mounting, series, 0, 0);
    values.forEach((value, level) => {
      add('increasing', mounting, series, level + 1, value);
    });
  };
  const down = (mounting: number, series: number, values: readonly number[]): void => {
    for (let level = values.length - 1; level >= 1; level -= 1) {
      add('decreasing', mounting, series, level, values[level - 1] ?? Number.NaN);
    }
  };
  const { zeroAfter } = inventedExample;
  up(1, 1, inventedExample.I_0deg_up);
  up(1, 2, inventedExample.II_0deg_up);
  up(2, 3, inventedExample.III_120deg_up);
  down(2, 4, inventedExample.III_120deg_down);
  add('zeroAfter', 2, 4, 0, zeroAfter.afterIII);
  up(3, 5, inventedExample.IV_240deg_up);
  down(3, 6, inventedExample.IV_240deg_down);
  add('zeroAfter', 3, 6, 0, zeroAfter.afterIV);
  return { readings, taken };
}
