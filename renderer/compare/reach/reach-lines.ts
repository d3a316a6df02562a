import type { Reach } from '../../../shared-lib/comparison/comparison-model.ts';

export interface ReachPoint {
  readonly x: number;
  /** NaN: too few runs reached it. */
  readonly y: number;
}

/** Mean time to each torque, of one side. `toShown`: from N·m. */
export function meanTimeLine(
  { levels }: Pick<Reach, 'levels'>,
  side: 'a' | 'b',
  toShown: (torqueNm: number) => number,
): ReachPoint[] {
  return levels.map(({ levelNm, aMeanS, bMeanS }) => ({
    x: toShown(levelNm),
    y: (side === 'a' ? aMeanS : bMeanS) ?? Number.NaN,
  }));
}

export interface RatioPoint extends ReachPoint {
  readonly lower: number;
  readonly upper: number;
}

/** How much longer A takes than B, in percent, with its interval; a level without one breaks the band. */
export function ratioStretches(
  { levels }: Pick<Reach, 'levels'>,
  toShown: (torqueNm: number) => number,
): RatioPoint[][] {
  const stretches: RatioPoint[][] = [];
  let current: RatioPoint[] = [];
  for (const { levelNm, ratio } of levels) {
    if (ratio === null) {
      if (current.length > 0) stretches.push(current);
      current = [];
      continue;
    }
    const percent = (value: number) => (value - 1) * 100;
    current.push({
      x: toShown(levelNm),
      y: percent(ratio.ratio),
      lower: percent(ratio.low),
      upper: percent(ratio.high),
    });
  }
  if (current.length > 0) stretches.push(current);
  return stretches;
}

/** The picture in words; the stretches themselves are sentences of their own. */
export function reachSummary(
  { levels, aCount, bCount }: Reach,
  names: { readonly a: string; readonly b: string },
  format: (torqueNm: number) => string,
): string {
  const [lowest, highest] = [levels[0], levels.at(-1)];
  if (lowest === undefined || highest === undefined)
    return 'There is no torque that both can be asked about.';
  const decided = levels.filter(({ first }) => first !== null).length;
  return (
    `${levels.length} torques from ${format(lowest.levelNm)} to ${format(highest.levelNm)}, ` +
    `${aCount === 1 ? '1 run' : `${aCount} runs`} of ${names.a} and ${bCount === 1 ? '1 run' : `${bCount} runs`} of ${names.b}: ` +
    `${decided} have a clear answer.`
  );
}
