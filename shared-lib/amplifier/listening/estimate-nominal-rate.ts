const usualRatesHz = [
  10, 20, 40, 50, 80, 100, 160, 200, 320, 400, 500, 640, 800, 1000, 1280, 2000, 2500, 4000, 5000, 8000,
  10_000, 20_000, 40_000, 50_000, 100_000,
];
const TOLERANCE = 0.02;

/** The usual rate nearest to a measured one, if it is within 2 %; else the measured one to three digits. */
export function estimateNominalRate(measuredHz: number): { nominalRateHz: number; isUsual: boolean } {
  const offBy = (rateHz: number): number => Math.abs(measuredHz / rateHz - 1);
  const nearest = usualRatesHz.reduce((best, rateHz) => (offBy(rateHz) < offBy(best) ? rateHz : best));
  if (offBy(nearest) <= TOLERANCE) return { nominalRateHz: nearest, isUsual: true };
  return { nominalRateHz: Number(measuredHz.toPrecision(3)), isUsual: false };
}
