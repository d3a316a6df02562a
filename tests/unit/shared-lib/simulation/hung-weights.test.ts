import { describe, expect, it } from 'vitest';
import type { HungWeightsOptions } from '../../../../shared-lib/simulation/hung-weights.ts';
import {
  createSimulatedBench,
  type SimulatedBench,
} from '../../../../shared-lib/simulation/simulated-bench.ts';

const RATE_HZ = 200;

function benchWith(weights: HungWeightsOptions, more: { nonlinearityShare?: number } = {}): SimulatedBench {
  return createSimulatedBench({
    seed: 5,
    sampleRateHz: RATE_HZ,
    noiseCounts: 0,
    zeroDriftNmPerMinute: 0,
    weights,
    ...more,
  });
}

/** Torque that a straight calibration would read over the last tenth of so many seconds. */
function readNm(bench: SimulatedBench, afterS = 3): number {
  const counts = bench.nextCounts(Math.round(afterS * RATE_HZ)).slice(-RATE_HZ / 10);
  const mean = counts.reduce((sum, value) => sum + value, 0) / counts.length;
  return (mean - bench.truth.zeroCounts) * bench.truth.forwardGainNmPerCount;
}

/** One count is 0.00025 N m; means of tens of them are rounded to less. */
const DIGITS = 3;

describe('weights on the simulated bench', () => {
  it('hang until others are hung, in both directions, each sense with its own gain', () => {
    const bench = benchWith({});
    bench.hang(50);
    expect(readNm(bench)).toBeCloseTo(50, DIGITS);
    expect(readNm(bench, 60)).toBeCloseTo(50, DIGITS);
    bench.hang(-50);
    const { forwardGainNmPerCount, reverseGainNmPerCount } = bench.truth;
    expect(readNm(bench)).toBeCloseTo((-50 * forwardGainNmPerCount) / reverseGainNmPerCount, DIGITS);
    bench.hang(0);
    expect(readNm(bench)).toBeCloseTo(0, DIGITS);
  });

  it('come to rest within about a second, not at once, and not quite straight', () => {
    const bench = benchWith({});
    bench.hang(100);
    const counts = bench.nextCounts(RATE_HZ);
    const torques = [...counts].map(
      (value) => (value - bench.truth.zeroCounts) * bench.truth.forwardGainNmPerCount,
    );
    expect(torques[0]).toBeLessThan(20);
    const steps = torques.slice(1).map((torqueNm, index) => torqueNm - (torques[index] ?? 0));
    expect(Math.min(...steps)).toBeLessThan(-0.001);
    expect(Math.abs((torques.at(-1) ?? 0) - 100)).toBeLessThan(0.1);
  });

  it('leave the counts of a bench without weights as they are', () => {
    const plain = createSimulatedBench({ seed: 5, sampleRateHz: RATE_HZ });
    const same = createSimulatedBench({ seed: 5, sampleRateHz: RATE_HZ, weights: { creepShare: 0.1 } });
    expect(same.nextCounts(200)).toEqual(plain.nextCounts(200));
  });

  it('creep on, and back', () => {
    const bench = benchWith({ creepShare: 0.001, creepS: 60 });
    bench.hang(100);
    expect(readNm(bench, 60)).toBeCloseTo(100 * (1 + 0.001 * (1 - Math.exp(-1))), 2);
    expect(readNm(bench, 600)).toBeCloseTo(100.1, 2);
    bench.hang(0);
    expect(readNm(bench, 3)).toBeGreaterThan(0.09);
    expect(readNm(bench, 600)).toBeCloseTo(0, 2);
  });

  it('read higher on the way down, most at half the load, and nothing at both ends', () => {
    const bench = benchWith({ hysteresisShare: 0.002 });
    const read = [25, 50, 75, 100, 75, 50, 25, 0].map((torqueNm) => {
      bench.hang(torqueNm);
      return readNm(bench) - torqueNm;
    });
    for (const [index, difference] of [0, 0, 0, 0, 0.15, 0.2, 0.15, 0].entries()) {
      expect(read[index]).toBeCloseTo(difference, DIGITS);
    }
  });

  it('are held back by friction from where they came', () => {
    const bench = benchWith({ frictionNm: 0.3 });
    bench.hang(50);
    expect(readNm(bench)).toBeCloseTo(49.7, DIGITS);
    bench.hang(100);
    bench.hang(50);
    expect(readNm(bench)).toBeCloseTo(50.3, DIGITS);
  });

  it('slip at a given change, and stay slipped', () => {
    const bench = benchWith({ slip: { atChange: 2, share: 0.03 } });
    bench.hang(50);
    expect(readNm(bench)).toBeCloseTo(50, DIGITS);
    bench.hang(100);
    expect(readNm(bench)).toBeCloseTo(97, DIGITS);
    bench.hang(50);
    expect(readNm(bench)).toBeCloseTo(48.5, DIGITS);
  });

  it('meet a transducer that is not straight', () => {
    const bench = benchWith({}, { nonlinearityShare: 0.01 });
    bench.hang(750);
    // At half the capacity of 1500 N m a quarter of what it is at capacity: 15 N m / 4.
    expect(readNm(bench)).toBeCloseTo(750 + 3.75, 2);
  });

  it('are refused where the torque is none', () => {
    expect(() => benchWith({}).hang(Number.NaN)).toThrow('torque of hung weights');
  });
});
