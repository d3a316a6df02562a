/**
 * Probability of a standard normal value at most x, about 15 digits in either tail: the rational approximation of Hart (1968)
 * as given by G. West (2005), from memory; held to Cephes in the tests.
 */
export function normalCdf(x: number): number {
  const far = Math.abs(x);
  const tail = far > 37 ? 0 : upperTail(far);
  return x > 0 ? 1 - tail : tail;
}

export function normalDensity(x: number): number {
  return Math.exp((-x * x) / 2) / SQRT_2PI;
}

const SQRT_2PI = Math.sqrt(2 * Math.PI);

function upperTail(x: number): number {
  const front = Math.exp((-x * x) / 2);
  if (x < 5 * Math.SQRT2) return (front * polynomial(NUMERATOR, x)) / polynomial(DENOMINATOR, x);
  const fraction = x + 1 / (x + 2 / (x + 3 / (x + 4 / (x + 0.65))));
  return front / fraction / SQRT_2PI;
}

function polynomial(coefficients: readonly number[], x: number): number {
  let value = 0;
  for (const coefficient of coefficients) value = value * x + coefficient;
  return value;
}

const NUMERATOR = [
  0.0352624965998911, 0.700383064443688, 6.37396220353165, 33.912866078383, 112.079291497871,
  221.213596169931, 220.206867912376,
];
const DENOMINATOR = [
  0.0883883476483184, 1.75566716318264, 16.064177579207, 86.7807322029461, 296.564248779674, 637.333633378831,
  793.826512519948, 440.413735824752,
];
