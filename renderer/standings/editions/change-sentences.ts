import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import type { StandingsChange } from '../../../shared-lib/standings/standings-model.ts';

/** Who moved between two states of a table, and why. */
export type Move = 'up' | 'down' | 'stays' | 'enters' | 'leaves' | 'stays out';

export function moveOf({ fromPlace, toPlace }: Pick<StandingsChange, 'fromPlace' | 'toPlace'>): Move {
  if (fromPlace === null && toPlace === null) return 'stays out';
  if (fromPlace === null) return 'enters';
  if (toPlace === null) return 'leaves';
  if (fromPlace === toPlace) return 'stays';
  return toPlace < fromPlace ? 'up' : 'down';
}

/** A shape beside the words, never instead of them. */
export const moveArrows: Readonly<Record<Move, string>> = {
  up: '▲',
  down: '▼',
  stays: '■',
  enters: '●',
  leaves: '○',
  'stays out': '○',
};

/** "up 2, from 4 to 2". */
export function moveWords(change: Pick<StandingsChange, 'fromPlace' | 'toPlace'>): string {
  const { fromPlace, toPlace } = change;
  if (fromPlace === null || toPlace === null) {
    switch (moveOf(change)) {
      case 'enters':
        return `comes in at ${toPlace ?? 0}`;
      case 'leaves':
        return `is not ranked any more, was ${fromPlace ?? 0}`;
      default:
        return 'is not ranked';
    }
  }
  const by = Math.abs(toPlace - fromPlace);
  if (by === 0) return `stays at ${toPlace}`;
  return `${toPlace < fromPlace ? 'up' : 'down'} ${by}, from ${fromPlace} to ${toPlace}`;
}

/** "Total 61.2, now 65.0." Empty where it is the same or there is none. */
export function totalWords({ fromTotal, toTotal }: StandingsChange): string {
  if (fromTotal === null || toTotal === null || fromTotal === toTotal) return '';
  const decimals = decimalsToTellApart(fromTotal, toTotal);
  return `Total ${formatNumber(fromTotal, decimals)} before, ${formatNumber(toTotal, decimals)} after.`;
}

/** "Sustained torque: 30.1 before, 33.9 after." The reasons stand below it. */
export function cellChangeWords(
  cell: Pick<StandingsChange['cells'][number], 'label' | 'fromPoints' | 'toPoints'>,
): string {
  const { label, fromPoints, toPoints } = cell;
  const isOther = fromPoints !== null && toPoints !== null && fromPoints !== toPoints;
  const decimals = isOther ? decimalsToTellApart(fromPoints, toPoints) : 1;
  const points =
    fromPoints === toPoints
      ? `the same ${pointsOrNone(toPoints, decimals)}`
      : `${pointsOrNone(fromPoints, decimals)} before, ${pointsOrNone(toPoints, decimals)} after`;
  return `${label}: ${points}.`;
}

function pointsOrNone(points: number | null, decimals: number): string {
  return points === null ? 'no points' : `${formatNumber(points, decimals)} points`;
}

/** A small change would otherwise read as none. */
function decimalsToTellApart(a: number, b: number): number {
  for (let decimals = 1; decimals < 4; decimals += 1) {
    if (a.toFixed(decimals) !== b.toFixed(decimals)) return decimals;
  }
  return 4;
}

/** Those whose place moved first, by the place they have now; then those whose points alone are other. */
export function inOrderOfInterest(changes: readonly StandingsChange[]): StandingsChange[] {
  const rank = (change: StandingsChange) => (change.fromPlace === change.toPlace ? 1 : 0);
  const place = ({ toPlace, fromPlace }: StandingsChange) => toPlace ?? fromPlace ?? Number.MAX_SAFE_INTEGER;
  return changes.toSorted(
    (a, b) => rank(a) - rank(b) || place(a) - place(b) || a.label.localeCompare(b.label),
  );
}
