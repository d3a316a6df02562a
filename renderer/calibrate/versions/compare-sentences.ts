import type { RequestResult } from '../../../shared-lib/api-contract.ts';
import type { Direction } from '../../../shared-lib/trial/step-model.ts';
import { percentWords } from '../../../shared-lib/calibration/words/result-figures.ts';

export type Comparison = RequestResult<'compareCalibrations'>;
export type ComparedPoint = Comparison['points'][number];

/** The points of each sense that both versions cover, rising torque; a sense without any is left out. */
export function pointsBySense(
  points: readonly ComparedPoint[],
): { readonly sense: Direction; readonly points: readonly ComparedPoint[] }[] {
  return (['forward', 'reverse'] as const)
    .map((sense) => ({
      sense,
      points: points
        .filter((point) => point.sense === sense)
        .toSorted((one, other) => Math.abs(one.torqueNm) - Math.abs(other.torqueNm)),
    }))
    .filter((group) => group.points.length > 0);
}

/** The picture in words: where the difference is largest, and whether the uncertainties of both would explain it. */
export function differenceSummary(
  sense: Direction,
  points: readonly ComparedPoint[],
  formatTorque: (torqueNm: number) => string,
): string {
  const [first] = points;
  if (first === undefined) return `Both versions have no range in common, ${sense}.`;
  const largest = points.reduce((most, point) =>
    Math.abs(point.differencePercent) > Math.abs(most.differencePercent) ? point : most,
  );
  const judged = points.flatMap(({ differencePercent, jointUncertaintyPercent: joint }) =>
    joint === null ? [] : [Math.abs(differencePercent) > joint],
  );
  const beyond = judged.filter((isBeyond) => isBeyond).length;
  const verdict =
    judged.length === 0
      ? 'A version states no uncertainty, so whether that is much cannot be said.'
      : beyond === 0
        ? 'It lies within the joint uncertainty of both versions everywhere.'
        : beyond === judged.length
          ? 'It is more than the joint uncertainty of both versions everywhere.'
          : `It is more than the joint uncertainty of both versions at ${beyond} of ${judged.length} torques.`;
  const size = Math.abs(largest.differencePercent);
  const how =
    size === 0
      ? 'both read the same'
      : `the other reads up to ${percentWords(size)} ${largest.differencePercent > 0 ? 'more' : 'less'}, most at ${formatTorque(Math.abs(largest.torqueNm))}`;
  return `${sense === 'forward' ? 'Forward' : 'Reverse'}: ${how}. ${verdict}`;
}
