import { describe, expect, it } from 'vitest';
import { shuntForOutputOhm, shuntOutputMvPerV } from '../../../../shared-lib/calibration/shunt.ts';
import reference from '../../../fixtures/reference-values/shunt-calibration.json' with { type: 'json' };

/** Sources and status of the values stand in the fixture. */
const { gaugeFactor } = reference;

/** Strain in bridge form, 4 v / GF, and in gauge form, that of the shunted arm alone: 4 v / (1 + 2 v) / GF. */
const bridgeMicrostrain = (outputMvPerV: number): number => (4000 * outputMvPerV) / gaugeFactor;
const gaugeMicrostrain = (outputMvPerV: number): number =>
  bridgeMicrostrain(outputMvPerV) / (1 + outputMvPerV / 500);
const outputOfBridgeStrain = (microstrain: number): number => (microstrain * gaugeFactor) / 4000;
const outputOfGaugeStrain = (microstrain: number): number => {
  const armChange = microstrain * gaugeFactor * 1e-6;
  return (1000 * armChange) / (4 - 2 * armChange);
};

describe('a shunt across one arm of a bridge', () => {
  it.each(reference.exact)('of $shuntOhm ohm gives $outputMvPerV mV/V', ({ outputMvPerV, ...bridge }) => {
    expect(Math.abs(shuntOutputMvPerV(bridge) / outputMvPerV - 1)).toBeLessThan(1e-12);
    expect(Math.abs(shuntForOutputOhm(bridge.bridgeOhm, outputMvPerV) / bridge.shuntOhm - 1)).toBeLessThan(
      1e-12,
    );
  });

  it.each(reference.shuntForStrain)(
    'shows $microstrain microstrain in $bridgeOhm ohm with $bridgeFormOhm ohm, or $gaugeFormOhm ohm in gauge form',
    ({ microstrain, bridgeOhm, bridgeFormOhm, gaugeFormOhm }) => {
      const bridgeForm = shuntForOutputOhm(bridgeOhm, outputOfBridgeStrain(microstrain));
      const gaugeForm = shuntForOutputOhm(bridgeOhm, outputOfGaugeStrain(microstrain));
      expect(Math.abs(bridgeForm - bridgeFormOhm)).toBeLessThan(0.5);
      expect(Math.abs(gaugeForm - gaugeFormOhm)).toBeLessThan(0.5);
    },
  );

  it.each(reference.strainOfShunt)(
    'of $shuntOhm ohm on $bridgeOhm ohm shows $bridgeFormMicrostrain microstrain, or $gaugeFormMicrostrain in gauge form',
    ({ bridgeOhm, shuntOhm, bridgeFormMicrostrain, gaugeFormMicrostrain }) => {
      const outputMvPerV = shuntOutputMvPerV({ bridgeOhm, shuntOhm });
      expect(Math.abs(bridgeMicrostrain(outputMvPerV) - bridgeFormMicrostrain)).toBeLessThan(0.5);
      expect(Math.abs(gaugeMicrostrain(outputMvPerV) - gaugeFormMicrostrain)).toBeLessThan(0.5);
    },
  );

  it.each<[string, () => number]>([
    ['a bridge of 0 ohm', () => shuntOutputMvPerV({ bridgeOhm: 0, shuntOhm: 1000 })],
    ['a shunt that is no number', () => shuntOutputMvPerV({ bridgeOhm: 350, shuntOhm: Number.NaN })],
    ['an output of 0', () => shuntForOutputOhm(350, 0)],
    ['an output that no shunt gives', () => shuntForOutputOhm(350, 500)],
  ])('refuses %s', (_, compute) => {
    expect(compute).toThrow(expect.objectContaining({ code: 'input-out-of-range' }) as Error);
  });
});
