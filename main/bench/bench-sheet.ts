import { AppError } from '../../shared-lib/app-error.ts';
import type {
  ConfirmedSetup,
  RunSheet,
  RunSheetEntry,
  SheetOnBench,
} from '../../shared-lib/run-sheet/run-sheet-model.ts';
import { restAfterS } from '../../shared-lib/run-sheet/expand-run-sheet.ts';
import type { Preparation } from '../../shared-lib/run-sheet/setup-model.ts';
import { asksFor, sheetOnBench } from '../../shared-lib/run-sheet/sheet-on-bench.ts';
import type { TrialConditions } from '../../shared-lib/trial/trial-model.ts';
import type { Clock } from '../platform/clock.ts';
import type { SettingsService } from '../settings-service.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import { countFastenerPulls, newestConfirmations, setupInHand } from '../storage/run-sheet-events.ts';
import { getRunSheet } from '../storage/run-sheet-repository.ts';
import { prefillPreparation, pullsSinceNew } from './prefill-preparation.ts';

/** What a trial takes from the entry that it is pulled for. */
export interface SheetPart extends Pick<
  TrialConditions,
  'setup' | 'place' | 'preparation' | 'restedS' | 'plannedRestS'
> {
  /** Of the pull before with this setup in this session, on the monotonic clock; null: there was none. */
  readonly lastPullEndedUs: number | null;
  /** What the plan asks for between the end of this pull and the next one with this setup. */
  readonly restAfterS: number;
}

/** The run sheet that is on the bench, if any. */
export interface BenchSheet {
  sheet(): RunSheet | null;
  /** As it stands now; asked for some four times a second, so what it rests on is kept until it changes. */
  view(sessionId: string | null): SheetOnBench | null;
  /** For a trial of the current entry, whose setup is in hand. */
  partOf(entry: RunSheetEntry, sessionId: string): SheetPart;
  /** A sheet, what was decided about it, or a trial is another than before. */
  changed(): void;
  /** From now on the rest of this setup counts, as long as the pull that has just ended asks for. */
  pullEnded(sessionId: string, setupId: string, restS: number): void;
}

/** Ours: some weeks of a busy bench. What was found longer ago says little of now. */
const CONFIRMATIONS_LOOKED_AT = 300;

interface Known {
  readonly runSheetId: string;
  readonly sheet: RunSheet;
  readonly confirmed: ConfirmedSetup | null;
  readonly prefilled: Preparation;
}

export function createBenchSheet(tools: {
  readonly database: ReadableDatabase;
  readonly settings: Pick<SettingsService, 'current'>;
  readonly clock: Clock;
}): BenchSheet {
  const { database, settings, clock } = tools;
  /** Of the sheet that the settings name; `known` null: there is no such sheet, or it is closed. */
  let kept: { readonly runSheetId: string; readonly known: Known | null } | null = null;
  /** A rest is measured, and the wall clock is no measure: it can be set, and a computer may sleep. */
  const lastPulls = new Map<string, { readonly endedUs: number; readonly restS: number }>();
  const pullKey = (sessionId: string, setupId: string): string => JSON.stringify([sessionId, setupId]);
  const fastenerPulls = (fastener: string, since: string): number =>
    countFastenerPulls(database, fastener, since);

  const load = (runSheetId: string): Known | null => {
    const sheet = findRunSheet(database, runSheetId);
    if (sheet === null || sheet.closedAt !== null) return null;
    const confirmations = newestConfirmations(database, CONFIRMATIONS_LOOKED_AT);
    const current = sheet.entries.find(({ state }) => state === 'open');
    return {
      runSheetId,
      sheet,
      confirmed: setupInHand(database, runSheetId),
      prefilled: prefillPreparation({
        setup: current?.setup ?? { setupId: '', packId: null },
        asks: current ? asksFor(sheet.plan.asks, current.setup) : [],
        confirmations,
        fastenerPulls,
      }),
    };
  };

  const known = (): Known | null => {
    const { runSheetId } = settings.current();
    if (runSheetId === null) return null;
    if (kept?.runSheetId !== runSheetId) kept = { runSheetId, known: load(runSheetId) };
    return kept.known;
  };

  return {
    sheet: () => known()?.sheet ?? null,

    view(sessionId) {
      const found = known();
      if (found === null) return null;
      const nowMs = clock.now().getTime();
      const nowUs = clock.monotonicUs();
      return sheetOnBench({
        sheet: found.sheet,
        confirmed: found.confirmed,
        sessionId,
        prefilled: found.prefilled,
        lastPull(setupId) {
          const last = sessionId === null ? undefined : lastPulls.get(pullKey(sessionId, setupId));
          if (last === undefined) return null;
          return { endedMs: nowMs - (nowUs - last.endedUs) / 1000, restS: last.restS };
        },
        nowMs,
        isoOf: (unixMs) => new Date(unixMs).toISOString(),
      });
    },

    partOf(entry, sessionId) {
      const found = known();
      if (found?.confirmed == null) throw new Error('A trial of a run sheet without a setup in hand');
      const { setup, round, repeat, role } = entry;
      const last = lastPulls.get(pullKey(sessionId, setup.setupId)) ?? null;
      return {
        setup,
        place: {
          runSheetId: found.runSheetId,
          entryId: entry.id,
          index: found.sheet.entries.findIndex(({ id }) => id === entry.id),
          round,
          repeat,
          role,
        },
        // What was found when the setup was taken up; the fastener has been pulled since.
        preparation: {
          ...found.confirmed.preparation,
          fastenerPullsSinceNew: pullsSinceNew(found.confirmed, { fastenerPulls }),
        },
        restedS: last === null ? null : (clock.monotonicUs() - last.endedUs) / 1e6,
        plannedRestS: last?.restS ?? null,
        lastPullEndedUs: last?.endedUs ?? null,
        restAfterS: restAfterS(entry, found.sheet.plan),
      };
    },

    changed() {
      kept = null;
    },

    pullEnded(sessionId, setupId, restS) {
      lastPulls.set(pullKey(sessionId, setupId), { endedUs: clock.monotonicUs(), restS });
    },
  };
}

/** The settings may name a sheet that is not there: a window can set anything, and a database can be an older one. */
function findRunSheet(database: ReadableDatabase, runSheetId: string): RunSheet | null {
  try {
    return getRunSheet(database, runSheetId);
  } catch (error) {
    if (error instanceof AppError && error.code === 'run-sheet-not-found') return null;
    throw error;
  }
}

/**
 * Errors: AppError 'bench-moved-on' where a window names another entry than the current one, or a sheet where there is
 * none. `shown` undefined: it takes whatever is next.
 */
export function refuseOtherEntry(
  view: SheetOnBench | null,
  shown: string | null | undefined,
  what: string,
): void {
  const currentId = view?.current?.id ?? null;
  const isAsShown = shown === null ? view === null : shown === currentId;
  if (shown === undefined || isAsShown) return;
  throw new AppError(
    'bench-moved-on',
    `${what} was refused: the bench is at another pull by now than this window showed. Nothing was changed. Look at what comes next, then press again.`,
    { shownEntryId: shown, currentEntryId: currentId },
  );
}

/** Errors: AppError 'invalid-state' while the setup is to rest. */
export function refuseRest(view: SheetOnBench | null): void {
  const leftS = view?.restLeftS ?? null;
  if (leftS === null) return;
  throw new AppError(
    'invalid-state',
    `This setup rests for another ${Math.ceil(leftS)} s, as the plan wants it. Nothing was started. Wait, or cut the rest short; that stays with the trial.`,
    { restLeftS: leftS },
  );
}
