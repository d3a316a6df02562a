import type { ConfirmedSetup, RunSheet, RunSheetEntry, SheetOnBench } from './run-sheet-model.ts';
import type { Ask, Preparation, SetupAsTested } from './setup-model.ts';

/** So many entries after the current one are shown. */
const FOLLOWING = 5;

/** The pull that a rest begins with. */
export interface LastPull {
  /** In ms as `nowMs` of the input counts. */
  readonly endedMs: number;
  /** What its step asks for until the next one with the same setup. */
  readonly restS: number;
}

export interface SheetOnBenchInput {
  readonly sheet: RunSheet;
  /** The newest one of all; it counts in its own session only. */
  readonly confirmed: ConfirmedSetup | null;
  readonly sessionId: string | null;
  readonly prefilled: Preparation;
  /** The last one with this setup in this session, whatever sheet it was of and whatever became of it; null: there was none. */
  readonly lastPull: (setupId: string) => LastPull | null;
  /** Unix time. */
  readonly nowMs: number;
  /** An instant as text; the calendar is outside of this library. */
  readonly isoOf: (unixMs: number) => string;
}

/** What a plan asks for of this setup: volts and warmth of a pack only where there is one, pressure only of air tools. */
export function asksFor(asks: readonly Ask[], setup: Pick<SetupAsTested, 'supply' | 'packId'>): Ask[] {
  return asks.filter((ask) => {
    if (ask === 'packVolts' || ask === 'packTemperature') return setup.packId !== null;
    if (ask === 'airPressure') return setup.supply === 'air';
    return true;
  });
}

/** Whether `confirmed` still holds for an entry: the same setup and session, and the same round where anything is asked for. */
export function isInHand(
  entry: Pick<RunSheetEntry, 'setup' | 'round'>,
  asks: readonly Ask[],
  confirmed: ConfirmedSetup | null,
  sessionId: string | null,
): boolean {
  if (confirmed === null || confirmed.sessionId !== sessionId) return false;
  if (confirmed.setupId !== entry.setup.setupId) return false;
  return asks.length === 0 || confirmed.round === entry.round;
}

/**
 * The run sheet as it stands on the bench at `nowMs`: the first open entry is the current one. A clock that was set back in
 * mid-rest makes the rest begin anew at most: it is never longer than planned.
 */
export function sheetOnBench(input: SheetOnBenchInput): SheetOnBench {
  const { sheet, confirmed, sessionId, prefilled, lastPull, nowMs, isoOf } = input;
  const open = sheet.entries.filter(({ state }) => state === 'open');
  const current = open[0] ?? null;
  const asks = current === null ? [] : asksFor(sheet.plan.asks, current.setup);
  const last = current === null ? null : lastPull(current.setup.setupId);
  const restLeftS = last === null ? 0 : Math.min(last.restS, last.restS - (nowMs - last.endedMs) / 1000);
  const counted = sheet.entries.filter(({ role }) => role === 'counted');
  return {
    id: sheet.id,
    name: sheet.name,
    current,
    following: open.slice(1, 1 + FOLLOWING),
    isSetupInHand: current === null || isInHand(current, asks, confirmed, sessionId),
    asks,
    prefilled,
    restUntil: restLeftS > 0 ? isoOf(nowMs + 1000 * restLeftS) : null,
    restLeftS: restLeftS > 0 ? restLeftS : null,
    doneCount: counted.filter(({ state }) => state === 'done').length,
    skippedCount: counted.filter(({ state }) => state === 'skipped').length,
    totalCount: counted.length,
    rounds: sheet.plan.rounds,
    roundsToPublish: sheet.plan.roundsToPublish,
  };
}
