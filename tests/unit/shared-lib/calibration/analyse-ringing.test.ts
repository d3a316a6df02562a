import { describe, expect, it } from 'vitest';
import { analyseRinging } from '../../../../shared-lib/calibration/analyse-ringing.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';
import { createSimulatedBench } from '../../../../shared-lib/simulation/simulated-bench.ts';

interface Mode {
  /** As it is seen, damped. */
  readonly frequencyHz: number;
  readonly dampingRatio: number;
  readonly amplitudeNm: number;
}

/** sigma = zeta w0, wd = w0 sqrt(1 - zeta^2). */
function decayPerS({ frequencyHz, dampingRatio }: Omit<Mode, 'amplitudeNm'>): number {
  return (dampingRatio * 2 * Math.PI * frequencyHz) / Math.sqrt(1 - dampingRatio ** 2);
}

const mode = (frequencyHz: number, dampingRatio: number, amplitudeNm = 20): Mode => ({
  frequencyHz,
  dampingRatio,
  amplitudeNm,
});

/**
 * Half a second of rest, then the answer of known truth to a tap of no length, or to weights let go whose torques are the
 * amplitudes; the rest at the end is zero, as the records of the bench have it.
 */
function record({
  modes,
  sampleRateHz = 1000,
  noiseNm = 0,
  isRelease = false,
  humNm = 0,
  seed = 11,
}: {
  modes: readonly Mode[];
  sampleRateHz?: number;
  noiseNm?: number;
  isRelease?: boolean;
  humNm?: number;
  seed?: number;
}): Float64Array {
  const random = createSeededRandom(seed, 0);
  const values = Float64Array.from({ length: 3 * sampleRateHz }, (_, index) => {
    const t = index / sampleRateHz - 0.5037;
    const ringing = modes.map((each) => {
      const turn = 2 * Math.PI * each.frequencyHz;
      const decay = decayPerS(each);
      if (t < 0) return isRelease ? each.amplitudeNm : 0;
      const swing = isRelease ? Math.cos(turn * t) + (decay / turn) * Math.sin(turn * t) : Math.sin(turn * t);
      return each.amplitudeNm * Math.exp(-decay * t) * swing;
    });
    const hum = t < 0 ? 0 : humNm * Math.sin(2 * Math.PI * 50 * t);
    return ringing.reduce((sum, value) => sum + value, noiseNm * random.gaussian() + hum);
  });
  const rest = values.slice(-sampleRateHz / 2);
  const restNm = rest.reduce((sum, value) => sum + value, 0) / rest.length;
  return values.map((value) => value - restNm);
}

const analyse = (
  options: Parameters<typeof record>[0] & { readonly antiAliasHz?: number },
): ReturnType<typeof analyseRinging> =>
  analyseRinging({
    torqueNm: record(options),
    sampleRateHz: options.sampleRateHz ?? 1000,
    antiAliasHz: options.antiAliasHz ?? null,
  });

const offBy = (found: number | null, truth: number): number => Math.abs((found ?? Number.NaN) / truth - 1);

describe('the ringing of a rig', () => {
  const truths = [
    [12, 0.1, 1000],
    [40, 0.002, 1000],
    [40, 0.05, 1000],
    [40, 0.2, 1000],
    [160, 0.14, 1000],
    [300, 0.05, 4000],
    [25, 0.08, 320],
    [160, 0.05, 40_000],
  ] as const;

  for (const isRelease of [false, true]) {
    const what = isRelease ? 'a weight let go' : 'a tap';
    it.each(truths)(
      `is that of the damped sine after ${what}: %s Hz, damping ratio %s, %s Sa/s`,
      (frequencyHz, dampingRatio, sampleRateHz) => {
        const truth = mode(frequencyHz, dampingRatio);
        const found = analyse({ modes: [truth], sampleRateHz, isRelease });
        expect(offBy(found.frequencyHz, frequencyHz)).toBeLessThan(0.0005);
        expect(offBy(found.dampingRatio, dampingRatio)).toBeLessThan(0.005);
        expect(offBy(found.decayS, 1 / decayPerS(truth))).toBeLessThan(0.005);
      },
    );

    it.each(truths)(
      `is found in noise of a hundredth after ${what}: %s Hz, damping ratio %s, %s Sa/s`,
      (frequencyHz, dampingRatio, sampleRateHz) => {
        const found = analyse({
          modes: [mode(frequencyHz, dampingRatio)],
          sampleRateHz,
          isRelease,
          noiseNm: 0.2,
        });
        expect(offBy(found.frequencyHz, frequencyHz)).toBeLessThan(0.03);
        expect(offBy(found.dampingRatio, dampingRatio)).toBeLessThan(0.15);
      },
    );
  }

  it('is the stronger one of two', () => {
    const apart = analyse({ modes: [mode(40, 0.03), mode(130, 0.03, 10)], noiseNm: 0.1 });
    expect(offBy(apart.frequencyHz, 40)).toBeLessThan(0.005);
    expect(offBy(apart.dampingRatio, 0.03)).toBeLessThan(0.05);
    const higher = analyse({ modes: [mode(40, 0.03, 5), mode(130, 0.03)], noiseNm: 0.1 });
    expect(offBy(higher.frequencyHz, 130)).toBeLessThan(0.005);
    const near = analyse({ modes: [mode(40, 0.03), mode(55, 0.03, 8)], noiseNm: 0.1 });
    expect(offBy(near.frequencyHz, 40)).toBeLessThan(0.02);
  });

  it('of the simulated rig is the 160 Hz and 7 ms of its model, whether it holds the torque of the blow or lets it go', () => {
    for (const rigUnloading of ['holds', 'releases'] as const) {
      const sampleRateHz = 1000;
      const bench = createSimulatedBench({ seed: 4, sampleRateHz, rigUnloading });
      bench.pull({ tool: 'Brindlow B4', direction: 'forward', triggerS: 0.05, delayS: 0.5 });
      const counts = Float64Array.from(bench.nextCounts(3.2 * sampleRateHz));
      const endCounts = counts.slice(-500).reduce((sum, value) => sum + value, 0) / 500;
      const torqueNm = counts.map((value) => (value - endCounts) * bench.truth.forwardGainNmPerCount);
      const found = analyseRinging({ torqueNm, sampleRateHz, antiAliasHz: null });
      expect(offBy(found.frequencyHz, 160)).toBeLessThan(0.01);
      expect(offBy(found.decayS, 0.007)).toBeLessThan(0.06);
    }
  });
});

describe('no ringing', () => {
  const none = { frequencyHz: null, dampingRatio: null, decayS: null };

  it('is found in noise alone', () => {
    for (let seed = 0; seed < 100; seed += 1) {
      expect(analyse({ modes: [], noiseNm: 1, seed })).toMatchObject(none);
    }
    expect(analyse({ modes: [] })).toMatchObject(none);
  });

  it('is found where a rig returns to rest without swinging through', () => {
    for (const dampingRatio of [0.7, 0.99]) {
      for (const isRelease of [false, true]) {
        const found = analyse({ modes: [mode(40, dampingRatio)], noiseNm: 0.05, isRelease });
        expect(found).toMatchObject(none);
        expect(found.sentences[0]).toContain('No ringing stands out');
      }
    }
  });

  it('is told of a line that does not die away, such as mains hum', () => {
    const found = analyse({ modes: [], noiseNm: 0.05, humNm: 5 });
    expect(found).toMatchObject(none);
    expect(found.sentences[0]).toMatch(/50\.0.Hz does not die away/);
  });
});

describe('a ringing that may be an alias', () => {
  const stiff = { modes: [mode(65, 0.02)], sampleRateHz: 80 };

  it('is not told at 80 Sa/s, where 65 Hz shows at 15 Hz', () => {
    const found = analyse(stiff);
    expect(found).toMatchObject({ frequencyHz: null, dampingRatio: null, decayS: null });
    expect(found.sentences[0]).toMatch(/shows at 15\.0.Hz.*alias of 65\.0.Hz/);
  });

  it('is told at 80 Sa/s where the amplifier lets nothing above half the rate through', () => {
    const truth = { modes: [mode(15, 0.05)], sampleRateHz: 80 };
    expect(analyse(truth).frequencyHz).toBeNull();
    expect(analyse({ ...truth, antiAliasHz: 60 }).frequencyHz).toBeNull();
    expect(offBy(analyse({ ...truth, antiAliasHz: 30 }).frequencyHz, 15)).toBeLessThan(0.001);
  });

  it('is not told with fewer than four samples to a swing, unless the bandwidth rules the alias out', () => {
    const truth = { modes: [mode(300, 0.02)] };
    const unknown = analyse(truth);
    expect(unknown.frequencyHz).toBeNull();
    // Four samples for each swing at the 700 Hz that it may be.
    expect(unknown.sentences[0]).toMatch(/alias of 700.Hz.*2800.Sa\/s/);
    expect(offBy(analyse({ ...truth, antiAliasHz: 450 }).frequencyHz, 300)).toBeLessThan(0.001);
  });

  it('is never told at the edge of the band', () => {
    expect(analyse({ modes: [mode(480, 0.01)], antiAliasHz: 500 }).frequencyHz).toBeNull();
  });
});

describe('what follows from the ringing', () => {
  const refusedOf = (options: Parameters<typeof analyse>[0]): string =>
    analyse(options).refusedMeasures.join(' ');

  it('says each time that the calibration is static', () => {
    for (const modes of [[], [mode(40, 0.05)]]) {
      expect(analyse({ modes, noiseNm: 0.1 }).sentences.at(-1)).toBe(
        'Static calibration; dynamic error not included.',
      );
    }
  });

  it('says how much lower each swing is', () => {
    // exp(-2 pi 0.05 / sqrt(1 - 0.05^2)) = 0.7301
    expect(analyse({ modes: [mode(40, 0.05)] }).sentences[0]).toMatch(/40\.0.Hz; each swing is 27.% lower/);
  });

  it('always refuses the highest reading as a torque of the tool', () => {
    expect(refusedOf({ modes: [mode(120, 0.03)], sampleRateHz: 4000 })).toContain('Highest reading');
    expect(refusedOf({ modes: [], noiseNm: 1 })).toContain('Highest reading');
  });

  it('refuses the blow rate under 320 Sa/s without a bandwidth that rules aliases out', () => {
    const slow = { modes: [mode(5, 0.05)], sampleRateHz: 80 };
    expect(refusedOf(slow)).toContain('Blow rate: it needs 320');
    expect(refusedOf({ ...slow, antiAliasHz: 60 })).toContain('Blow rate: it needs 320');
    expect(refusedOf({ ...slow, antiAliasHz: 30 })).not.toContain('Blow rate');
  });

  it('refuses the blow rate where the rig rings among the blows, from 10 to 80 Hz', () => {
    for (const [frequencyHz, isRefused] of [
      [8, false],
      [12, true],
      [75, true],
      [90, false],
    ] as const) {
      expect(refusedOf({ modes: [mode(frequencyHz, 0.05)] }).includes('Blow rate')).toBe(isRefused);
    }
  });

  it('refuses a torque at an instant shorter than a swing, or than four samples', () => {
    expect(refusedOf({ modes: [mode(40, 0.05)] })).toMatch(/shorter than 25.ms: that is one swing/);
    expect(refusedOf({ modes: [], noiseNm: 1 })).toMatch(/shorter than 4\.0.ms: that is four samples/);
  });

  it('refuses the torque at a time where a swing is longer than what it is averaged over', () => {
    expect(refusedOf({ modes: [mode(6, 0.05)] })).toMatch(/Torque at a time.*101.ms/);
    expect(refusedOf({ modes: [mode(40, 0.05)] })).not.toContain('Torque at a time');
  });
});
