import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { AppError } from '../../../../shared-lib/app-error.ts';
import {
  createSimulatedBench,
  type SimulatedBench,
  type SimulatedBenchOptions,
} from '../../../../shared-lib/simulation/simulated-bench.ts';
import { simulatedTools } from '../../../../shared-lib/simulation/simulated-tool.ts';
import {
  simulatedCalibration,
  simulatedTransducer,
} from '../../../../shared-lib/simulation/simulated-transducer.ts';

const quiet = { noiseCounts: 0, zeroDriftNmPerMinute: 0 } as const;

function mean(values: ArrayLike<number>): number {
  return Array.from(values).reduce((sum, value) => sum + value, 0) / values.length;
}

function standardDeviation(values: ArrayLike<number>): number {
  const centre = mean(values);
  const squares = Array.from(values).reduce((sum, value) => sum + (value - centre) ** 2, 0);
  return Math.sqrt(squares / (values.length - 1));
}

/** Extremes by loop: spreading hundreds of thousands of values would overflow the stack. */
function extremes(values: ArrayLike<number>): { lowest: number; highest: number } {
  return Array.from(values).reduce<{ lowest: number; highest: number }>(
    ({ lowest, highest }, value) => ({ lowest: Math.min(lowest, value), highest: Math.max(highest, value) }),
    { lowest: Infinity, highest: -Infinity },
  );
}

/** Runs a script of loads, handing out samples in chunks between them. */
function countsOf(
  options: SimulatedBenchOptions,
  script: readonly { readonly chunks: readonly number[]; readonly load: 'forward' | 'reverse' | 'push' }[],
): number[] {
  const bench = createSimulatedBench(options);
  const counts: number[] = [];
  for (const { chunks, load } of script) {
    if (load === 'push') bench.push(30, 0.4);
    else bench.pull({ direction: load, triggerS: 0.3, delayS: 0.05 });
    for (const chunk of chunks) counts.push(...bench.nextCounts(chunk));
  }
  return counts;
}

describe('the counts of the simulated bench', () => {
  it('are the same for the same seed and calls, however they are chunked', () => {
    const stretch = fc.record({
      chunks: fc.array(fc.integer({ min: 0, max: 120 }), { minLength: 1, maxLength: 8 }),
      load: fc.constantFrom('forward', 'reverse', 'push'),
    });
    fc.assert(
      fc.property(fc.integer(), fc.array(stretch, { maxLength: 4 }), (seed, script) => {
        const options = { seed, sampleRateHz: 320 };
        const whole = script.map(({ chunks, load }) => ({
          load,
          chunks: [chunks.reduce((sum, n) => sum + n, 0)],
        }));
        expect(countsOf(options, script)).toEqual(countsOf(options, whole));
      }),
    );
  });

  it('differ between seeds', () => {
    const script = [{ chunks: [200], load: 'forward' }] as const;
    expect(countsOf({ seed: 1, sampleRateHz: 100 }, script)).not.toEqual(
      countsOf({ seed: 2, sampleRateHz: 100 }, script),
    );
  });

  it('survive the copying of the options to another process', () => {
    const options: SimulatedBenchOptions = {
      seed: 3,
      sampleRateHz: 100,
      tool: simulatedTools['Corvane C8'],
      misbehaviours: [{ atS: 1, what: { kind: 'gap', count: 3 } }],
    };
    const script = [{ chunks: [200], load: 'forward' }] as const;
    expect(countsOf(structuredClone(options), script)).toEqual(countsOf(options, script));
  });

  it.each([80, 1000, 10_000])(
    'say the true torque through the gains of the bench at %i Sa/s',
    (sampleRateHz) => {
      for (const direction of ['forward', 'reverse'] as const) {
        const bench = createSimulatedBench({ seed: 11, sampleRateHz, ...quiet });
        const pull = bench.pull({ direction, triggerS: 2, delayS: 0 });
        const { zeroCounts, forwardGainNmPerCount, reverseGainNmPerCount } = bench.truth;
        const gain = direction === 'forward' ? forwardGainNmPerCount : reverseGainNmPerCount;
        const trueNm = pull.curveNm(sampleRateHz);
        const readNm = Array.from(bench.nextCounts(trueNm.length), (counts) => (counts - zeroCounts) * gain);
        // Rounding to a whole count is all that is left. Near zero the ringing may cross into the other sense.
        const worstNm = extremes(readNm.map((torqueNm, index) => torqueNm - (trueNm[index] ?? NaN)));
        expect(worstNm.highest).toBeLessThan(0.51 * gain + 1e-6);
        expect(worstNm.lowest).toBeGreaterThan(-0.51 * gain - 1e-6);
        expect(Math.sign(mean(trueNm))).toBe(direction === 'forward' ? 1 : -1);
      }
    },
  );

  it('say the true torque through the calibration the bench brings, once they are zeroed', () => {
    const bench = createSimulatedBench({ seed: 12, sampleRateHz: 1000 });
    const zeroCounts = mean(bench.nextCounts(1000));
    const pull = bench.pull({ direction: 'forward', triggerS: 3, delayS: 0 });
    const counts = bench.nextCounts(3000).subarray(2500);
    const readNm = (mean(counts) - zeroCounts) * simulatedCalibration.forward.gainNmPerCount;
    // Noise of 59 counts over 500 and 1000 samples: 0.001 N·m; drift of 0.02 N·m a minute over 3 s: 0.001 N·m.
    expect(Math.abs(readNm - pull.meanTorqueNm(pull.startS + 2.5, pull.startS + 3))).toBeLessThan(0.005);
  });

  it('carry white noise of the stated size, the same at every rate', () => {
    for (const sampleRateHz of [80, 40_000]) {
      const counts = createSimulatedBench({ seed: 4, sampleRateHz, zeroDriftNmPerMinute: 0 }).nextCounts(
        40_000,
      );
      // The standard deviation of 40 000 samples is known to 0.35 %, the correlation of neighbours to 0.005.
      expect(Math.abs(standardDeviation(counts) / 59 - 1)).toBeLessThan(0.015);
      const centre = mean(counts);
      const neighbours = Array.from(
        counts.subarray(1),
        (value, index) => (value - centre) * ((counts[index] ?? 0) - centre),
      );
      expect(Math.abs(mean(neighbours) / 59 ** 2)).toBeLessThan(0.02);
    }
  });

  it('drift by the stated torque per minute', () => {
    const bench = createSimulatedBench({
      seed: 5,
      sampleRateHz: 10,
      noiseCounts: 0,
      zeroDriftNmPerMinute: 6,
    });
    const counts = bench.nextCounts(601);
    const driftNm = ((counts[600] ?? 0) - (counts[0] ?? 0)) * bench.truth.forwardGainNmPerCount;
    expect(Math.abs(driftNm - 6)).toBeLessThan(0.001);
  });

  it('stand at the rails where the torque lies beyond them, and nowhere else', () => {
    const bench = createSimulatedBench({ seed: 6, sampleRateHz: 1000, capacityNm: 300, tool: 'Corvane C8' });
    const { lowRailCounts, highRailCounts } = bench.truth;
    expect([lowRailCounts, highRailCounts]).toEqual([-8_388_608, 8_388_607]);
    bench.pull({ direction: 'forward', triggerS: 3, delayS: 0 });
    bench.pull({ direction: 'reverse', triggerS: 3, delayS: 0 });
    const counts = bench.nextCounts(8000);
    expect(extremes(counts)).toEqual({ lowest: lowRailCounts, highest: highRailCounts });
    expect(extremes(counts.subarray(7900)).highest).toBeLessThan(50_000);
  });

  it('stay clear of the rails and of the rig limit with every tool on the ordinary transducer', () => {
    for (const tool of Object.values(simulatedTools)) {
      for (let seed = 1; seed <= 6; seed += 1) {
        const bench = createSimulatedBench({ seed, sampleRateHz: 2000 });
        const { highest } = extremes(
          bench.pull({ tool, direction: 'forward', triggerS: 10, delayS: 0 }).curveNm(2000),
        );
        expect(highest).toBeLessThan(simulatedTransducer.rigLimitNm);
      }
    }
  });

  it('fall for a clockwise push where the transducer sits on a reaction arm', () => {
    const bench = createSimulatedBench({ seed: 8, sampleRateHz: 100, senseSign: -1, ...quiet });
    const push = bench.push(40, 2);
    const middle = bench.nextCounts(200)[100] ?? NaN;
    expect(push.torqueNm(push.startS + 1)).toBeCloseTo(40, 9);
    expect((middle - bench.truth.zeroCounts) * bench.truth.reverseGainNmPerCount).toBeCloseTo(-40, 3);
  });

  it('start from a zero of their own for each seed', () => {
    const zeros = Array.from(
      { length: 50 },
      (_, seed) => createSimulatedBench({ seed, sampleRateHz: 80 }).truth.zeroCounts,
    );
    expect(new Set(zeros).size).toBe(50);
    expect(extremes(zeros).highest).toBeLessThanOrEqual(40_000);
    expect(extremes(zeros).lowest).toBeGreaterThanOrEqual(-40_000);
  });
});

describe('runs of the simulated bench', () => {
  const ceilings = (bench: SimulatedBench, runs: number) =>
    Array.from({ length: runs }, () =>
      Math.log(bench.pull({ direction: 'forward', triggerS: 0.2, delayS: 0 }).ceilingNm),
    );

  it('scatter by the stated share, within one bench and between seeds', () => {
    const within = ceilings(createSimulatedBench({ seed: 1, sampleRateHz: 80, runScatter: 0.015 }), 400);
    const between = Array.from({ length: 400 }, (_, seed) =>
      mean(ceilings(createSimulatedBench({ seed, sampleRateHz: 80, runScatter: 0.015 }), 1)),
    );
    for (const logCeilings of [within, between]) {
      // 400 runs know a standard deviation to 3.5 % and their mean to 0.00075.
      expect(Math.abs(standardDeviation(logCeilings) / 0.015 - 1)).toBeLessThan(0.14);
      expect(Math.abs(mean(logCeilings) - Math.log(Math.sqrt(2 * 14 * 9000)))).toBeLessThan(0.003);
    }
  });

  it('follow each other: a pull asked for during another one starts when that is over', () => {
    const bench = createSimulatedBench({ seed: 1, sampleRateHz: 100 });
    const first = bench.pull({ direction: 'forward', triggerS: 1, delayS: 0.5 });
    const second = bench.pull({ direction: 'reverse', triggerS: 1, delayS: 0 });
    expect(first.startS).toBe(0.5);
    expect(first.triggerEndS).toBe(1.5);
    expect(second.startS).toBe(first.endS);
    expect(bench.busyUntilS).toBe(second.endS);
    bench.nextCounts(1000);
    expect(bench.sampleCount).toBe(1000);
    expect(bench.push(10, 1).startS).toBe(10);
  });

  it('use the tool of the pull before the tool of the bench', () => {
    const bench = createSimulatedBench({ seed: 1, sampleRateHz: 100, tool: 'Tarnwick T6' });
    expect(bench.pull({ direction: 'forward', triggerS: 1, delayS: 0 }).tool.name).toBe('Tarnwick T6');
    const pull = bench.pull({ tool: 'Brindlow B4', direction: 'forward', triggerS: 1, delayS: 0 });
    expect(pull.tool.name).toBe('Brindlow B4');
  });
});

describe('the simulated bench refuses', () => {
  const usable = { seed: 1, sampleRateHz: 80 };
  const tool = simulatedTools['Hollin H5'];
  it.each<readonly [string, SimulatedBenchOptions]>([
    ['a seed that is no whole number', { ...usable, seed: 0.5 }],
    ['a sample rate of nothing', { ...usable, sampleRateHz: 0 }],
    ['a sample rate that is no number', { ...usable, sampleRateHz: NaN }],
    ['a converter of 40 bits', { ...usable, converterBits: 40 }],
    ['negative noise', { ...usable, noiseCounts: -1 }],
    ['a tool that never strikes', { ...usable, tool: { ...tool, blowRateHz: 0 } }],
    ['a tool it does not know', { ...usable, tool: 'Nobody N1' as 'Hollin H5' }],
  ])('%s', (_, options) => {
    expect(() => createSimulatedBench(options)).toThrow(AppError);
  });

  it('a pull without end and a push without time', () => {
    const bench = createSimulatedBench(usable);
    expect(() => bench.pull({ direction: 'forward', triggerS: Infinity, delayS: 0 })).toThrow(AppError);
    expect(() => bench.pull({ direction: 'forward', triggerS: 1, delayS: -1 })).toThrow(AppError);
    expect(() => bench.push(10, 0)).toThrow(AppError);
  });
});
