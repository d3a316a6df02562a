const MOST_POINT_DECIMALS = 3;

/** One decimal, or as many as tell totals apart that are not the same, up to three. */
export function pointDecimals(totals: readonly number[]): number {
  const distinct = [...new Set(totals)];
  for (let decimals = 1; decimals < MOST_POINT_DECIMALS; decimals += 1) {
    const shown = new Set(distinct.map((total) => total.toFixed(decimals)));
    if (shown.size === distinct.length) return decimals;
  }
  return MOST_POINT_DECIMALS;
}
