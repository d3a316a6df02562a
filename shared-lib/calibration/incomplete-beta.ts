/**
 * The regularised incomplete beta function I_x(a, b), by which t and F are distributed; a and b positive, about 13 digits
 * for a and b up to some millions.
 *
 * Both x and 1 - x are given, since near either end one of them has lost what the other still has. The continued fraction
 * is that of DLMF 8.17.22, evaluated by Lentz's method (from memory; held to Cephes and to tables in the tests).
 */
export function incompleteBeta(x: number, oneMinusX: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (oneMinusX <= 0) return 1;
  // It converges fast below the mean; above, the other tail does.
  return x < (a + 1) / (a + b + 2) ? lowerTail(x, oneMinusX, a, b) : 1 - lowerTail(oneMinusX, x, b, a);
}

function lowerTail(x: number, oneMinusX: number, a: number, b: number): number {
  const front = Math.exp(a * Math.log(x) + b * Math.log(oneMinusX) - lnBeta(a, b)) / a;
  return front / continuedFraction(x, a, b);
}

/** 1 + d1/(1 + d2/(1 + ...)); its length grows with the square root of the larger parameter. */
function continuedFraction(x: number, a: number, b: number): number {
  let value = 1;
  let numerator = 1;
  let denominator = 0;
  for (let term = 1; term < MOST_TERMS; term += 1) {
    const m = Math.floor(term / 2);
    const coefficient =
      term % 2 === 0
        ? (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m))
        : (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    denominator = 1 / awayFromZero(1 + coefficient * denominator);
    numerator = awayFromZero(1 + coefficient / numerator);
    const factor = numerator * denominator;
    value *= factor;
    if (Math.abs(factor - 1) < Number.EPSILON) return value;
  }
  throw new RangeError(`The incomplete beta function of ${a} and ${b} at ${x} was not reached.`);
}

const MOST_TERMS = 100_000;

function awayFromZero(value: number): number {
  return Math.abs(value) < 1e-300 ? 1e-300 : value;
}

/** ln B(a, b). Where the parameters are large, their gamma functions would cancel; Stirling's remainders do not. */
export function lnBeta(a: number, b: number): number {
  const small = Math.min(a, b);
  const large = Math.max(a, b);
  if (large < STIRLING_FROM) return lnGamma(small) + lnGamma(large) - lnGamma(small + large);
  const sum = small + large;
  const largePart = (large - 0.5) * Math.log1p(-small / sum);
  const remainder = stirlingRemainder(large) - stirlingRemainder(sum);
  if (small < STIRLING_FROM) return lnGamma(small) + remainder + small - small * Math.log(sum) + largePart;
  return (
    LN_SQRT_2PI -
    0.5 * Math.log(large) +
    stirlingRemainder(small) +
    remainder +
    (small - 0.5) * Math.log(small / sum) +
    large * Math.log1p(-small / sum)
  );
}

const STIRLING_FROM = 10;
const LN_SQRT_2PI = 0.5 * Math.log(2 * Math.PI);

/** ln Gamma(x) for x > 0: Stirling's series (DLMF 5.11.1), reached by the recurrence where x is small. */
function lnGamma(x: number): number {
  let shifted = x;
  let product = 1;
  while (shifted < STIRLING_FROM) {
    product *= shifted;
    shifted += 1;
  }
  return (
    (shifted - 0.5) * Math.log(shifted) -
    shifted +
    LN_SQRT_2PI +
    stirlingRemainder(shifted) -
    Math.log(product)
  );
}

/** The sum of B_2k / (2k (2k - 1) x^(2k - 1)); from x = 10 on exact to the last digit. */
function stirlingRemainder(x: number): number {
  const inverseSquare = 1 / (x * x);
  return STIRLING.reduceRight((sum, coefficient) => sum * inverseSquare + coefficient, 0) / x;
}

const STIRLING = [1 / 12, -1 / 360, 1 / 1260, -1 / 1680, 1 / 1188, -691 / 360_360, 1 / 156, -3617 / 122_400];
