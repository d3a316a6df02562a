import { formatDuration } from '../../format-quantity.ts';
import { describeSetup } from '../../run-sheet/describe-entry.ts';
import type { PlaceInSheet, Role } from '../../run-sheet/run-sheet-model.ts';
import type { SetupAsTested } from '../../run-sheet/setup-model.ts';
import type { Direction, Kind, Step } from '../step-model.ts';

export const kindNames: Readonly<Record<Kind, string>> = {
  tighten: 'Tighten',
  breakaway: 'Breakaway',
  stall: 'Stall',
  endurance: 'Endurance',
};

export const directionNames: Readonly<Record<Direction, string>> = { forward: 'Forward', reverse: 'Reverse' };

export const roleNames: Readonly<Record<Role, string>> = {
  counted: 'Counted',
  conditioning: 'Conditioning',
  reference: 'Reference tool',
};

/** Pack, setting and socket, for where the tool stands before it; empty where there is none of them. */
export function setupWords(setup: SetupAsTested | null): string {
  return setup === null ? '' : describeSetup({ ...setup, toolName: '' });
}

/** "forward, 5 s", and the kind before it where that is not the usual one. */
export function stepWords({ kind, direction, plannedS }: Step): string {
  const time = formatDuration(plannedS, plannedS % 1 === 0 ? 0 : 1);
  return [...(kind === 'tighten' ? [] : [kind]), direction, time].join(', ');
}

/** Role and round in a run sheet: "round 2", "conditioning", "reference, round 1". */
export function placeWords({ role, round, repeat }: Pick<PlaceInSheet, 'role' | 'round' | 'repeat'>): string {
  return [
    ...(role === 'counted' ? [] : [role]),
    ...(round === 0 ? [] : [`round ${round}`]),
    ...(repeat === 1 ? [] : [`pull ${repeat}`]),
  ].join(', ');
}
