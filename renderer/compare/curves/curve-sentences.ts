import { formatDuration } from '../../../shared-lib/format-quantity.ts';
import { shortenName } from '../../live-curve/earlier-curve.ts';
import type { SideNames } from '../../../shared-lib/comparison/words/compare-sentences.ts';

interface CurveCounts {
  readonly shown: number;
  readonly all: number;
  readonly loaded: number;
}

/** How far the curves have come, and how many are not drawn; empty where all there are stand there. */
export function progressWords({ shown, all, loaded }: CurveCounts): string {
  if (loaded < shown) return `Reading curves: ${loaded} of ${shown}.`;
  return shown < all ? `The newest ${shown} of ${all} runs are drawn.` : '';
}

/** The picture of the curves in words. */
export function curvesSummary(
  names: SideNames,
  counts: { readonly a: number; readonly b: number },
  ends: { readonly a: string | null; readonly b: string | null },
  toS: number,
): string {
  const side = (name: string, count: number, look: string, end: string | null) =>
    count === 0
      ? `no curve of ${name}`
      : `${count === 1 ? '1 run' : `${count} runs`} of ${name} (${look})${end === null ? '' : `, ${end} at the end`}`;
  return (
    `Torque over the ${formatDuration(toS, toS % 1 === 0 ? 0 : 1)} from onset: ` +
    `${side(names.a, counts.a, 'solid', ends.a)}; ${side(names.b, counts.b, 'dashed', ends.b)}.`
  );
}

export const CURVES_FOR_THE_EYE =
  'Curves are low-passed at 20 Hz for the eye; all figures come from the measuring curve. Thin: each run; thick: the mean of a side.';

/** At the end of a curve. */
export function endLabel(side: 'a' | 'b', names: SideNames): string {
  return `${side.toUpperCase()} ${shortenName(names[side])}`;
}
