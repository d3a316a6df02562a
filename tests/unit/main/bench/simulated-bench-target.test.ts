import { describe, expect, it } from 'vitest';
import { simulatedPull } from '../../../../main/bench/simulated-bench-target.ts';
import type { Kind, Step } from '../../../../shared-lib/trial/step-model.ts';

const stepOf = (kind: Kind, changes: Partial<Step> = {}): Step => ({
  toolName: 'Tarnwick T6 (demo)',
  kind,
  direction: 'reverse',
  plannedS: 10,
  ...changes,
});

describe('what the simulated operator does for a step', () => {
  it('takes the invented tool that the name begins with, and holds the trigger a little past the stop', () => {
    expect(simulatedPull(stepOf('tighten'))).toEqual({
      tool: 'Tarnwick T6',
      direction: 'reverse',
      triggerS: 10.3,
      delayS: 0.6,
    });
    expect(simulatedPull(stepOf('tighten', { toolName: 'Another' }))).not.toHaveProperty('tool');
  });

  it('tightens the fastener of a breakaway to the preload of the step in the countdown, and pulls after the go', () => {
    const pull = simulatedPull(stepOf('breakaway', { preloadNm: 250 }));
    expect(pull.work).toEqual({ kind: 'breakaway', preloadNm: 250 });
    expect(pull.delayS).toBeCloseTo(4.1, 9);
    expect(simulatedPull(stepOf('breakaway', { preloadNm: null })).work).toMatchObject({ preloadNm: 400 });
  });

  it.each([
    ['clutch 40', 40],
    ['Clutch at 7.5 N·m', 7.5],
    ['speed 2', null],
    ['', null],
  ])('reads the clutch of a stall from the setting "%s"', (setting, clutchNm) => {
    expect(simulatedPull(stepOf('stall'), setting).work).toEqual({ kind: 'stall', clutchNm });
  });

  it('uses a charge up before the planned time', () => {
    expect(simulatedPull(stepOf('endurance')).work).toEqual({
      kind: 'endurance',
      chargeS: 9,
      fadeShare: 0.3,
    });
  });
});
