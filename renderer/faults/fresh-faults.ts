import type { FaultEvent } from '../../shared-lib/trial/trial-model.ts';

/** Long enough to be read from three metres by someone whose eyes were on the tool. */
export const FRESH_MS = 12_000;
/** More sentences at once are not read. */
const MOST_AT_ONCE = 3;

/** The alarm of the status line says these in its own words as long as they last. */
const lastingKinds: readonly FaultEvent['kind'][] = ['disconnect', 'silence', 'readerLost'];

/**
 * What happened just now, newest first and each kind once: a bad cable raises the same fault every second.
 *
 * A silence that is over is not told as one that lasts. `problem`: the sentence of what is wrong with the amplifier at this
 * moment, which stands in the window, or null; `isBesideAlarm`: it stands right beside. `nowMs` is wall clock.
 */
export function freshFaults(
  faults: readonly FaultEvent[],
  nowMs: number,
  problem: string | null,
  isBesideAlarm: boolean,
): FaultEvent[] {
  const fresh: FaultEvent[] = [];
  const isTold = (kind: FaultEvent['kind']): boolean =>
    fresh.some((newer) => newer.kind === kind || (kind === 'silence' && newer.kind === 'silenceEnded'));
  for (const fault of faults) {
    const isFresh = Date.parse(fault.at) > nowMs - FRESH_MS;
    const isAlarm = isBesideAlarm && problem !== null && lastingKinds.includes(fault.kind);
    const isElsewhere = isAlarm || fault.sentence === problem;
    if (isFresh && !isElsewhere && !isTold(fault.kind)) fresh.push(fault);
  }
  return fresh.slice(0, MOST_AT_ONCE);
}
