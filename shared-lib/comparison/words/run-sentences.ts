import type { SideNames } from './compare-sentences.ts';
import { leftOutReasons, type RunPoint } from './run-points.ts';

/** "12 runs in time order: 6 of Hollin H5, 6 of Tarnwick T6. Left out: 1 voided." */
export function runsSummary(points: readonly RunPoint[], names: SideNames): string {
  const count = (owner: RunPoint['owner']) => points.filter((point) => point.owner === owner).length;
  const parts = [
    `${count('a')} of ${names.a}`,
    `${count('b')} of ${names.b}`,
    ...(count('reference') === 0
      ? []
      : [count('reference') === 1 ? '1 reference pull' : `${count('reference')} reference pulls`]),
    ...(count('other') === 0 ? [] : [`${count('other')} of other setups`]),
  ];
  const reasons = leftOutReasons(points);
  const leftOut =
    reasons.length === 0
      ? 'None of them is left out.'
      : `Left out: ${reasons.map(({ reason, count: times }) => `${times} ${reason}`).join('; ')}.`;
  return `${points.length === 1 ? '1 run' : `${points.length} runs`} in the order in which they were pulled: ${parts.join(', ')}. ${leftOut}`;
}
