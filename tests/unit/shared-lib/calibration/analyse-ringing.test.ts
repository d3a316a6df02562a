import { describe, expect, it } from 'vitest';
import { analyseRinging } from '../../../../shared-lib/calibration/analyse-ringing.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';

/** Rest of half a second, then a damped sine of known truth: frequency is that of the damped ringing. */
function response({
  frequencyHz = 120,
  dampingRatio = 0.03,
  sampleRateHz = 4000,
  noiseNm = 0,
  amplitudeNm = 50,
} = {}): Float64Array {
  const random = createSeededRandom(11, 0);
  const decayPerS = (dampingRatio * 2 * Math.PI * frequencyHz) / Math.sqrt(1 - dampingRatio ** 2);
  return Float64Array.from({ length: 3 * sampleRateHz }, (_, index) => {
    const t = index / sampleRateHz - 0.5;
    const ringing =
      t < 0 ? 0 : amplitudeNm * Math.exp(-decayPerS * t) * Math.sin(2 * Math.PI * frequencyHz * t);
    return ringing + noiseNm * random.gaussian();
  });
}

describe('the ringing of a rig', () => {
  it.each([
    [40, 0.02, 1000],
    [120, 0.03, 4000],
    [300, 0.01, 4000],
    [85, 0.08, 2000],
  ])('is found at %s Hz with damping %s', (frequencyHz, dampingRatio, sampleRateHz) => {
    const found = analyseRinging({
      torqueNm: response({ frequencyHz, dampingRatio, sampleRateHz }),
      sampleRateHz,
      antiAliasHz: null,
    });
    expect((found.frequencyHz ?? 0) / frequencyHz).toBeCloseTo(1, 1);
    expect((found.dampingRatio ?? 0) / dampingRatio).toBeGreaterThan(0.85);
    expect((found.dampingRatio ?? 0) / dampingRatio).toBeLessThan(1.15);
    expect(found.sentences[0]).toContain('rings at');
  });

  it('is found in noise', () => {
    const found = analyseRinging({
      torqueNm: response({ noiseNm: 0.5 }),
      sampleRateHz: 4000,
      antiAliasHz: null,
    });
    expect((found.frequencyHz ?? 0) / 120).toBeCloseTo(1, 1);
    expect((found.dampingRatio ?? 0) / 0.03).toBeGreaterThan(0.7);
    expect((found.dampingRatio ?? 0) / 0.03).toBeLessThan(1.3);
  });

  it('is not found in noise alone', () => {
    const found = analyseRinging({
      torqueNm: response({ amplitudeNm: 0, noiseNm: 0.5 }),
      sampleRateHz: 4000,
      antiAliasHz: null,
    });
    expect(found).toMatchObject({ frequencyHz: null, dampingRatio: null, decayS: null });
    expect(found.sentences[0]).toContain('No ringing stands out');
  });

  it('is not told where it may be an alias, unless the bandwidth rules that out', () => {
    // 250 Hz at 320 Sa/s shows at 70 Hz; 140 Hz shows where it is, but with too few samples to be sure.
    const torqueNm = response({ frequencyHz: 140, dampingRatio: 0.01, sampleRateHz: 320 });
    const unknown = analyseRinging({ torqueNm, sampleRateHz: 320, antiAliasHz: null });
    expect(unknown.frequencyHz).toBeNull();
    expect(unknown.sentences[0]).toContain('alias');
    const known = analyseRinging({ torqueNm, sampleRateHz: 320, antiAliasHz: 150 });
    expect((known.frequencyHz ?? 0) / 140).toBeCloseTo(1, 1);
  });

  it('always says that the calibration is static, and refuses the highest reading as a torque of the tool', () => {
    const found = analyseRinging({ torqueNm: response(), sampleRateHz: 4000, antiAliasHz: null });
    expect(found.sentences.at(-1)).toBe('Static calibration; dynamic error not included.');
    expect(found.refusedMeasures.join(' ')).toContain('highest reading');
  });

  it('refuses the blow rate where the rate is too low, or the rig rings among the blows', () => {
    const slow = analyseRinging({
      torqueNm: response({ frequencyHz: 15, sampleRateHz: 80 }),
      sampleRateHz: 80,
      antiAliasHz: null,
    });
    expect(slow.refusedMeasures.join(' ')).toContain('blow rate: it needs 320');
    const amongBlows = analyseRinging({
      torqueNm: response({ frequencyHz: 40, sampleRateHz: 1000 }),
      sampleRateHz: 1000,
      antiAliasHz: null,
    });
    expect(amongBlows.refusedMeasures.join(' ')).toContain('among the rates of blows');
    const clear = analyseRinging({ torqueNm: response(), sampleRateHz: 4000, antiAliasHz: null });
    expect(clear.refusedMeasures.join(' ')).not.toContain('blow rate');
  });
});
