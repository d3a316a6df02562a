import type { FaultEvent } from '../../shared-lib/trial/trial-model.ts';

/** Long enough to be read from three metres by someone whose eyes were on the tool. */
export const FRESH_MS = 12_000;
/** More sentences at once are not read. */
const MOST_AT_ONCE = 3;

/**
 * What happened just now, newest first and each kind once: a bad cable raises the same fault every second.
 *
 * `alreadyShown`: the sentence of a state that lasts and stands elsewhere. `nowMs` is wall clock.
 */
export function freshFaults(
  faults: readonly FaultEvent[],
  nowMs: number,
  alreadyShown: string | null,
): FaultEvent[] {
  const fresh: FaultEvent[] = [];
  for (const fault of faults) {
    const isFresh = Date.parse(fault.at) > nowMs - FRESH_MS;
    const isNew = !fresh.some(({ kind }) => kind === fault.kind);
    if (isFresh && isNew && fault.sentence !== alreadyShown) fresh.push(fault);
  }
  return fresh.slice(0, MOST_AT_ONCE);
}
