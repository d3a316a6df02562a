import type { ComparedStep } from '../comparison/trial-measure.ts';

/**
 * What torques in N m, positive for clockwise, are multiplied with to be drawn: positive where the tool pulls as it was asked to;
 * the preload of a breakaway stands against its step.
 */
export function drawnSign({ kind, direction }: Pick<ComparedStep, 'kind' | 'direction'>): 1 | -1 {
  return (direction === 'forward') === (kind !== 'breakaway') ? 1 : -1;
}
