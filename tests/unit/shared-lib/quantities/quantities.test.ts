import { describe, expect, it } from 'vitest';
import { fromOwnUnit, toOwnUnit } from '../../../../shared-lib/format-quantity.ts';
import * as quantities from '../../../../shared-lib/quantities.ts';
import reference from '../../../fixtures/reference-values/units.json' with { type: 'json' };

/** Source and status of the values stand in the fixture. 1e-15 relative is less than 5 units in the last place of a double. */
const expectRelative = (actual: number, expected: number, tolerance: number): void => {
  expect(Math.abs(actual / expected - 1)).toBeLessThanOrEqual(tolerance);
};

describe('conversion factors', () => {
  const { exact, sp811Rounded } = reference;

  it.each([
    ['lbf', quantities.KILOGRAMS_PER_POUND * quantities.STANDARD_GRAVITY_MPS2, exact.lbf_N],
    ['ft.lbf', quantities.NEWTON_METRES_PER_FOOT_POUND_FORCE, exact.ft_lbf_Nm],
    ['in.lbf', quantities.NEWTON_METRES_PER_INCH_POUND_FORCE, exact.in_lbf_Nm],
    ['kgf.m', quantities.NEWTON_METRES_PER_KILOGRAM_FORCE_METRE, exact.kgf_m_Nm],
  ])('%s agrees with its exact definition', (_, factor, value) => {
    expectRelative(factor, Number(value), 1e-15);
  });

  it('takes one pound-force per square inch for what its parts make', () => {
    // 1 lbf exactly 4.4482216152605 N, 1 in exactly 0.0254 m; 1 hPa = 100 Pa.
    const pascals = Number(exact.lbf_N) / 0.0254 ** 2;
    expectRelative(quantities.HECTOPASCALS_PER_PSI * 100, pascals, 1e-15);
  });

  it.each([
    ['ft.lbf', quantities.NEWTON_METRES_PER_FOOT_POUND_FORCE, sp811Rounded.ft_lbf],
    ['in.lbf', quantities.NEWTON_METRES_PER_INCH_POUND_FORCE, sp811Rounded.in_lbf],
    ['kgf.m', quantities.NEWTON_METRES_PER_KILOGRAM_FORCE_METRE, sp811Rounded.kgf_m],
  ])('%s agrees with the seven digits of NIST SP 811', (_, factor, printed) => {
    expect(Number(factor.toPrecision(7))).toBe(printed);
  });

  it('agree with one another: 12 in.lbf are 1 ft.lbf, and 1 ft.lbf is 1 lbf times 1 ft', () => {
    expectRelative(
      12 * quantities.NEWTON_METRES_PER_INCH_POUND_FORCE,
      quantities.NEWTON_METRES_PER_FOOT_POUND_FORCE,
      1e-15,
    );
    expectRelative(
      quantities.KILOGRAMS_PER_POUND * quantities.STANDARD_GRAVITY_MPS2 * quantities.METRES_PER_FOOT,
      quantities.NEWTON_METRES_PER_FOOT_POUND_FORCE,
      1e-15,
    );
    expectRelative(12 * quantities.METRES_PER_INCH, quantities.METRES_PER_FOOT, 1e-15);
  });
});

describe('torque conversion', () => {
  it.each(reference.examples)('$ftLbf ft.lbf are $torqueNm N.m, there and back', ({ ftLbf, torqueNm }) => {
    expectRelative(toOwnUnit(ftLbf, 'ftLbf'), torqueNm, 1e-15);
    expectRelative(fromOwnUnit(torqueNm, 'ftLbf'), ftLbf, 1e-15);
  });
});
