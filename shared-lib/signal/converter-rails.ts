/** Whether a count is at either end of what a two's complement converter of so many bits gives, or beyond. */
export function isAtRail(counts: number, converterBits: number): boolean {
  const upperRail = 2 ** (converterBits - 1) - 1;
  return counts >= upperRail || counts <= -upperRail - 1;
}
