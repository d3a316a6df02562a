/**
 * The only home of conversion factors, all exact by definition: 1 ft = 0.3048 m, 1 lb = 0.45359237 kg, g_n = 9.80665 m/s2
 * (NIST SP 811, appendix B; checked against tests/fixtures/reference-values/units.json). SI inside the program; other
 * units exist only in `format-quantity.ts` and in input fields.
 */
export const METRES_PER_FOOT = 0.3048;
export const METRES_PER_INCH = 0.0254;
export const KILOGRAMS_PER_POUND = 0.45359237;
export const STANDARD_GRAVITY_MPS2 = 9.80665;
export const NEWTON_METRES_PER_FOOT_POUND_FORCE = 1.3558179483314004;
export const NEWTON_METRES_PER_INCH_POUND_FORCE = 0.1129848290276167;
export const NEWTON_METRES_PER_KILOGRAM_FORCE_METRE = 9.80665;
/** One pound-force per square inch: 4.4482216152605 N over (0.0254 m)^2. */
export const HECTOPASCALS_PER_PSI = 68.94757293168361;
