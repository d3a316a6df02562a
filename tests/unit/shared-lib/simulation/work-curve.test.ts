import { describe, expect, it } from 'vitest';
import { AppError } from '../../../../shared-lib/app-error.ts';
import { createBreakawayCurve } from '../../../../shared-lib/simulation/breakaway-curve.ts';
import { createEnduranceCurve } from '../../../../shared-lib/simulation/endurance-curve.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';
import {
  createSimulatedBench,
  type SimulatedPull,
} from '../../../../shared-lib/simulation/simulated-bench.ts';
import { simulatedTools, type SimulatedToolName } from '../../../../shared-lib/simulation/simulated-tool.ts';
import { createStallCurve } from '../../../../shared-lib/simulation/stall-curve.ts';
import type { TorqueCurve } from '../../../../shared-lib/simulation/torque-curve.ts';

const RATE_HZ = 1000;

function pullOf(name: SimulatedToolName, triggerS: number) {
  return {
    tool: simulatedTools[name],
    isReverse: false,
    triggerS,
    runScatter: 0,
    random: createSeededRandom(7, 0),
  };
}

/** Midpoint rule, 20 000 steps/s, against the closed form. */
function integralError(curve: TorqueCurve, fromS: number, toS: number): number {
  const steps = Math.ceil((toS - fromS) * 20_000);
  const stepS = (toS - fromS) / steps;
  let sum = 0;
  for (let step = 0; step < steps; step += 1) sum += curve.torqueNm(fromS + (step + 0.5) * stepS);
  return sum * stepS - (curve.impulseNmS(toS) - curve.impulseNmS(fromS));
}

function benchPull(pull: Partial<SimulatedPull>, runScatter = 0) {
  const bench = createSimulatedBench({ seed: 5, sampleRateHz: RATE_HZ, runScatter });
  return bench.pull({ direction: 'reverse', triggerS: 2, delayS: 2, ...pull });
}

describe('a preload on the simulated bench', () => {
  const breakawayOf = (name: SimulatedToolName, preloadNm: number, triggerS = 3) =>
    createBreakawayCurve({ ...pullOf(name, triggerS), preloadNm, waitS: 2 });

  it('stands against the pull until the tool strikes, and is gone once it is released', () => {
    const curve = breakawayOf('Hollin H5', 400);
    expect(curve.torqueNm(1.9)).toBeCloseTo(-400, 3);
    expect(curve.releasedAtS).toBeGreaterThan(2);
    expect(curve.torqueNm((curve.releasedAtS ?? 0) + 0.1)).toBeCloseTo(0, 2);
    expect(integralError(curve, 0, 4)).toBeCloseTo(0, 2);
  });

  it('is taken out blow by blow as C^2 - (C^2 - P^2) (1 + a)^n', () => {
    // y = T^2 falls by a (C^2 - y) at each blow of full energy, so C^2 - y grows by 1 + a. a = 0.4 * 600 / k.
    const tool = { ...simulatedTools['Hollin H5'], sagShare: 0, spinUpS: 0.001 };
    const curve = createBreakawayCurve({ ...pullOf('Hollin H5', 3), tool, preloadNm: 400, waitS: 2 });
    const ceilingSquared = 2 * 14 * 9000;
    const a = 240 / 9000;
    // The first blow comes after one time constant of spinning up, with (1 - 1/e)^2 of the energy: too weak to move it.
    expect(curve.blows[0]?.jointNm).toBeCloseTo(400, 6);
    for (const n of [1, 10, 20, 30]) {
      const expected = ceilingSquared - (ceilingSquared - 400 ** 2) * (1 + a) ** n;
      // Blows scatter by 2 % of their energy, which the growing difference carries on.
      expect(Math.abs((curve.blows[n]?.jointNm ?? 0) / Math.sqrt(expected) - 1)).toBeLessThan(0.03);
    }
  });

  it('is released by strong tools and not by weak ones, whose operator loosens it afterwards', () => {
    expect(breakawayOf('Corvane C8', 400).releasedAtS).not.toBeNull();
    expect(breakawayOf('Hollin H5', 400, 0.3).releasedAtS).toBeNull();
    const weak = breakawayOf('Brindlow B4', 400);
    expect(weak.releasedAtS).toBeNull();
    expect(weak.torqueNm(5.5)).toBeCloseTo(-400, 1);
    expect(weak.torqueNm(weak.endS - 0.01)).toBeCloseTo(0, 3);
    // Its blows show all the same.
    expect(Math.max(...Array.from({ length: 3000 }, (_, i) => weak.torqueNm(2 + i / 1000)))).toBeGreaterThan(
      -200,
    );
  });

  it('is known on the clock of the bench, tightened while the operator waits', () => {
    const pull = benchPull({ tool: 'Hollin H5', work: { kind: 'breakaway', preloadNm: 400 } });
    expect(pull.triggerEndS).toBe(4);
    expect(pull.meanTorqueNm(1, 1.9)).toBeCloseTo(400, 1);
    expect(pull.releasedAtS).toBeGreaterThan(2);
    expect(pull.meanTorqueNm((pull.releasedAtS ?? 0) + 0.05, 4)).toBeCloseTo(0, 1);
  });
});

describe('a driver that is held', () => {
  it('stands at its stall torque until the trigger is let go', () => {
    const curve = createStallCurve({ stallNm: 120, clutchNm: null, triggerS: 2 });
    expect(curve.stoppedAtS).toBeNull();
    expect(curve.torqueNm(0.12)).toBeCloseTo(120 * (1 - Math.exp(-1)), 9);
    expect(curve.torqueNm(1.99)).toBeCloseTo(120, 3);
    expect(curve.torqueNm(2.06)).toBeCloseTo(120 / Math.E, 3);
    expect(integralError(curve, 0, 3)).toBeCloseTo(0, 4);
  });

  it('lets go at the setting of its clutch', () => {
    // stall (1 - exp(-t / 0.12)) = clutch at t = -0.12 ln(1 - clutch / stall).
    const curve = createStallCurve({ stallNm: 120, clutchNm: 40, triggerS: 2 });
    expect(curve.stoppedAtS).toBeCloseTo(-0.12 * Math.log(2 / 3), 9);
    expect(curve.torqueNm(curve.stoppedAtS ?? 0)).toBeCloseTo(40, 9);
    expect(createStallCurve({ stallNm: 120, clutchNm: 130, triggerS: 2 }).stoppedAtS).toBeNull();
    expect(integralError(curve, 0, 3)).toBeCloseTo(0, 4);
  });

  it('is a quarter of what the blows of the tool reach', () => {
    const pull = benchPull({ tool: 'Brindlow B4', work: { kind: 'stall', clutchNm: null } });
    expect(pull.ceilingNm).toBeCloseTo(0.25 * Math.sqrt(2 * 6.5 * 7500), 9);
    expect(pull.meanTorqueNm(3.5, 3.9)).toBeCloseTo(-pull.ceilingNm, 3);
    expect(benchPull({ work: { kind: 'stall', clutchNm: 30 } }).stoppedAtS).toBeCloseTo(2, 0);
  });
});

describe('a charge on the simulated bench', () => {
  const enduranceOf = (triggerS: number) =>
    createEnduranceCurve({ ...pullOf('Hollin H5', triggerS), chargeS: 20, fadeShare: 0.3 });

  it('fades in a straight line, and stops the tool when it is used up', () => {
    const { blows, stoppedAtS, ceilingNm, endS } = enduranceOf(30);
    expect(stoppedAtS).toBe(20);
    expect(blows.at(-1)?.atS).toBeLessThanOrEqual(20);
    expect(endS).toBeLessThan(21);
    // Sag takes 5 % of the energy, a blow scatters by 2 % of it, and torque goes by the root of both.
    for (const { atS, jointNm } of blows.filter((blow) => blow.atS > 12)) {
      const expectedNm = ceilingNm * Math.sqrt(1 - 0.05 * (1 - Math.exp(-atS / 4))) * (1 - (0.3 * atS) / 20);
      expect(Math.abs(jointNm / expectedNm - 1)).toBeLessThan(0.045);
    }
  });

  it('lasts where the trigger is let go before', () => {
    const curve = enduranceOf(4);
    expect(curve.stoppedAtS).toBeNull();
    expect(curve.torqueNm(4.5)).toBeLessThan(1);
    expect(integralError(curve, 0, 5)).toBeCloseTo(0, 1);
  });

  it('may run for an hour', () => {
    const hour = benchPull({ triggerS: 3600, work: { kind: 'endurance', chargeS: 3240, fadeShare: 0.3 } });
    expect(hour.stoppedAtS).toBe(3242);
    expect(hour.blows.length).toBeGreaterThan(100_000);
  });
});

describe('a pull that makes no sense', () => {
  it.each<[string, Partial<SimulatedPull>]>([
    ['a breakaway without the time to tighten', { delayS: 0.5, work: { kind: 'breakaway', preloadNm: 400 } }],
    ['a preload of nothing', { work: { kind: 'breakaway', preloadNm: 0 } }],
    ['a clutch set to nothing', { work: { kind: 'stall', clutchNm: 0 } }],
    ['a charge that loses more than all', { work: { kind: 'endurance', chargeS: 20, fadeShare: 1.1 } }],
    ['a trigger held for more than an hour', { triggerS: 3800 }],
  ])('is refused: %s', (_, pull) => {
    expect(() => benchPull(pull)).toThrow(AppError);
  });
});
