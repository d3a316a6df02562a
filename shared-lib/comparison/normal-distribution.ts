/**
 * Probability of a standard normal value at most x, to the last digit of 1, and to seven of its own in the far lower tail: the
 * rational approximation of Hart (1968) as given by G. West (2005), from memory; held to Cephes in the tests.
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

/** Written out, since the studentized range asks for it some ten thousand times. */
function upperTail(x: number): number {
  const front = Math.exp((-x * x) / 2);
  if (x >= 5 * Math.SQRT2) {
    return front / (x + 1 / (x + 2 / (x + 3 / (x + 4 / (x + 0.65))))) / SQRT_2PI;
  }
  const numerator =
    (((((0.0352624965998911 * x + 0.700383064443688) * x + 6.37396220353165) * x + 33.912866078383) * x +
      112.079291497871) *
      x +
      221.213596169931) *
      x +
    220.206867912376;
  const denominator =
    ((((((0.0883883476483184 * x + 1.75566716318264) * x + 16.064177579207) * x + 86.7807322029461) * x +
      296.564248779674) *
      x +
      637.333633378831) *
      x +
      793.826512519948) *
      x +
    440.413735824752;
  return (front * numerator) / denominator;
}
