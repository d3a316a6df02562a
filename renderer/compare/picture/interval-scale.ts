import type { Comparison } from '../../../shared-lib/comparison/comparison-model.ts';
import { ratioPercent } from '../../../shared-lib/comparison/words/compare-sentences.ts';
import type { Tick } from './picture-frame.ts';

/** The ratio's axis: logarithmic, one in the middle, wide enough for interval and margin. */
export interface IntervalScale {
  /** From 0 at the left edge to 1 at the right one. */
  readonly place: (ratio: number) => number;
  readonly ticks: readonly Tick[];
}

/** Beyond the outermost value, so that it does not stand on the edge. */
const ROOM = 1.18;
const percentSteps = [0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500] as const;
/** On each side of one. */
const MOST_TICKS = 5;
/** A label nearer to the edge than this share would reach over it. */
const LABEL_SHARE = 0.03;
/** An interval of two runs can reach over decades; then the axis ends and the bar goes on with an arrow. */
const WIDEST_LN = Math.log(4);

export function intervalScale({
  ratio,
  levelInterval,
  marginPercent,
}: Pick<Comparison, 'ratio' | 'levelInterval' | 'marginPercent'>): IntervalScale {
  const marginLn = Math.log(1 + marginPercent / 100);
  const values = [ratio, levelInterval].flatMap((one) =>
    one === null ? [] : [one.low, one.high, one.ratio],
  );
  const reach = Math.max(
    marginLn,
    ...values.filter((value) => value > 0).map((value) => Math.abs(Math.log(value))),
  );
  const halfLn = Math.min(reach * ROOM, Math.max(WIDEST_LN, marginLn * ROOM));
  const place = (value: number): number => (Math.log(value) / halfLn + 1) / 2;
  const topPercent = (Math.exp(halfLn) - 1) * 100;
  const step = percentSteps.find((candidate) => topPercent / candidate <= MOST_TICKS) ?? 1000;
  const count = Math.floor(topPercent / step + 1e-9);
  const ratios = Array.from({ length: 2 * count + 1 }, (_, index) => 1 + ((index - count) * step) / 100);
  return {
    place,
    ticks: ratios
      .filter((value) => value > 0 && Math.abs(place(value) - 0.5) <= 0.5 - LABEL_SHARE)
      .map((value) => ({
        value,
        label: Math.abs(value - 1) < 1e-12 ? 'equal' : ratioPercent(value).replace(/\.0(?=\D)/, ''),
      })),
  };
}
