import { describe, expect, it } from 'vitest';
import { torqueDecimals } from '../../../../shared-lib/torque-display.ts';
import { torqueDisplay } from '../../../../renderer/ui/torque-display.ts';
import { readyStatus } from '../../../helpers/scripted-bench.ts';

describe('decimals of a torque', () => {
  it.each([
    // capacity, uncertainty in percent, decimals: a tenth of the uncertainty is 1, 0.5, 0.1, 0.05 and 10 N·m
    [1000, 1, 0],
    [1000, 0.5, 1],
    [1000, 0.1, 1],
    [100, 0.5, 2],
    [10_000, 1, 0],
  ] as const)('at %d N·m and %d %% are %d', (capacityNm, uncertaintyPercent, decimals) => {
    expect(torqueDecimals('Nm', capacityNm, uncertaintyPercent)).toBe(decimals);
  });

  it('are never more than three', () => {
    expect(torqueDecimals('Nm', 1, 0.001)).toBe(3);
  });

  it('follow the shown unit', () => {
    // 1 % of 1100 N·m is 11 N·m, but 8.1 ft·lbf, whose tenth is under one.
    expect(torqueDecimals('Nm', 1100, 1)).toBe(0);
    expect(torqueDecimals('ftLbf', 1100, 1)).toBe(1);
  });

  it('goes by what a guided run has found before what was entered', () => {
    const { calibration } = readyStatus;
    if (calibration === null) throw new Error('The scripted bench is calibrated.');
    const found = { ...readyStatus, calibration: { ...calibration, foundUncertaintyPercent: 0.1 } };
    expect([torqueDisplay('Nm', readyStatus).decimals, torqueDisplay('Nm', found).decimals]).toEqual([0, 1]);
    // Static calibration: blows do not carry more digits than a thousandth of the capacity gives.
    const finer = { ...readyStatus, calibration: { ...calibration, foundUncertaintyPercent: 0.02 } };
    expect(torqueDisplay('Nm', finer).decimals).toBe(1);
  });
});
