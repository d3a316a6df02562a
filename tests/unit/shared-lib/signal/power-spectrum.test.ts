import { describe, expect, it } from 'vitest';
import { powerSpectrum } from '../../../../shared-lib/signal/power-spectrum.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';

/** The sum that defines the transform. */
function powerByDefinition(values: Float64Array, length: number, bin: number): number {
  let [re, im] = [0, 0];
  values.forEach((value, index) => {
    re += value * Math.cos((2 * Math.PI * bin * index) / length);
    im -= value * Math.sin((2 * Math.PI * bin * index) / length);
  });
  return re ** 2 + im ** 2;
}

describe('the power spectrum', () => {
  it.each([
    [1, 1],
    [2, 2],
    [13, 16],
    [100, 256],
  ])('of %s values in %s bins is that of the sum that defines it', (count, length) => {
    const random = createSeededRandom(3, 0);
    const values = Float64Array.from({ length: count }, () => random.gaussian());
    const power = powerSpectrum(values, length);
    expect(power).toHaveLength(Math.floor(length / 2) + 1);
    power.forEach((value, bin) => expect(value).toBeCloseTo(powerByDefinition(values, length, bin), 9));
  });

  it('refuses a length that is no power of two, or too short', () => {
    expect(() => powerSpectrum(new Float64Array(5), 12)).toThrow(RangeError);
    expect(() => powerSpectrum(new Float64Array(5), 4)).toThrow(RangeError);
  });
});
