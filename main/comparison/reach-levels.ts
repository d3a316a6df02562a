const WANTED = 60;
const FACTORS = [1, 2, 2.5, 5];

/**
 * About sixty round torques above the first up to the last: multiples of a step of 1, 2, 2.5 or 5 times a power of ten. Empty
 * where the last does not lie above the first.
 */
export function levelsBetween(aboveNm: number, upToNm: number): number[] {
  const spanNm = upToNm - aboveNm;
  if (!(spanNm > 0)) return [];
  const exponent = Math.floor(Math.log10(spanNm / WANTED));
  const offFromWanted = (stepNm: number): number => Math.abs(Math.log(spanNm / stepNm / WANTED));
  const [stepNm = spanNm] = [exponent, exponent + 1]
    .flatMap((power) => FACTORS.map((factor) => factor * 10 ** power))
    .toSorted((one, other) => offFromWanted(one) - offFromWanted(other));
  const first = Math.floor(aboveNm / stepNm);
  const last = Math.ceil(upToNm / stepNm);
  // As decimals, and only then held against the ends: 3 x 0.1 is not 0.3, and 0.3 / 0.05 is a little under 6.
  return Array.from({ length: last - first + 1 }, (_, index) =>
    Number(((first + index) * stepNm).toPrecision(12)),
  ).filter((levelNm) => levelNm > aboveNm && levelNm <= upToNm);
}
