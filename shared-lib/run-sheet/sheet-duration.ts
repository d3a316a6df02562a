import { COUNTDOWN_S, TAIL_S } from '../trial/trial-state.ts';
import type { RunSheetEntry } from './run-sheet-model.ts';

/** Ours, for an operator at ease: letting go, coming to rest, the zero after the run, saving. */
export const UNLOADING_S = 4;
/** Ours: from the end of a trial to the press for the next one with the same setup: a look at it, the socket back on. */
export const NEXT_PULL_S = 8;
/** Ours: the tool put down, the next one taken up with its pack and socket, and what the plan asks for noted. */
export const CHANGE_SETUP_S = 45;
/** What a pull takes beside its planned time, even where nothing is waited for. */
export const BESIDE_THE_PULL_S = NEXT_PULL_S + COUNTDOWN_S + TAIL_S + UNLOADING_S;

export type TimedEntry = Pick<RunSheetEntry, 'setup' | 'step' | 'restS'>;

/**
 * How long a run sheet takes by its planned times, with countdown, tail, unloading and handling, in s. A rest counts from the
 * end of the last pull with the same setup, so what other setups pull meanwhile is taken off it.
 */
export function sheetDurationS(entries: readonly TimedEntry[]): number {
  const lastPull = pullEndsS(entries).at(-1);
  return lastPull === undefined ? 0 : lastPull + TAIL_S + UNLOADING_S;
}

/** When each pull ends, in s from taking up the first setup. */
export function pullEndsS(entries: readonly TimedEntry[]): number[] {
  let nowS = 0;
  let inHand: string | null = null;
  const lastEndS = new Map<string, number>();
  return entries.map(({ setup, step, restS }) => {
    nowS += inHand === setup.setupId ? NEXT_PULL_S : CHANGE_SETUP_S;
    inHand = setup.setupId;
    nowS = Math.max(nowS, (lastEndS.get(setup.setupId) ?? -Infinity) + restS);
    const endS = nowS + COUNTDOWN_S + step.plannedS;
    lastEndS.set(setup.setupId, endS);
    nowS = endS + TAIL_S + UNLOADING_S;
    return endS;
  });
}
