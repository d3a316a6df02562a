import { COUNTDOWN_S, TAIL_S } from '../trial/trial-state.ts';
import type { RunSheetEntry } from './run-sheet-model.ts';

/** Ours, for an operator at ease: letting go, coming to rest, the zero after the run, saving. */
export const UNLOADING_S = 4;
/** Ours: from the end of a trial to the press for the next one with the same setup: a look at it, the socket back on. */
export const NEXT_PULL_S = 8;
/** Ours: the tool put down, the next one taken up with its pack and socket, and what the plan asks for noted. */
export const CHANGE_SETUP_S = 45;

/**
 * How long a run sheet takes by its planned times, with countdown, tail, unloading and handling, in s. A rest counts from the
 * end of the last pull with the same setup, so what other setups pull meanwhile is taken off it.
 */
export function sheetDurationS(entries: readonly Pick<RunSheetEntry, 'setup' | 'step' | 'restS'>[]): number {
  let nowS = 0;
  let inHand: string | null = null;
  const pullEndedS = new Map<string, number>();
  for (const { setup, step, restS } of entries) {
    nowS += inHand === setup.setupId ? NEXT_PULL_S : CHANGE_SETUP_S;
    inHand = setup.setupId;
    nowS = Math.max(nowS, (pullEndedS.get(setup.setupId) ?? -Infinity) + restS);
    nowS += COUNTDOWN_S + step.plannedS;
    pullEndedS.set(setup.setupId, nowS);
    nowS += TAIL_S + UNLOADING_S;
  }
  return nowS;
}
