import { setImmediate } from 'node:timers/promises';
import { AppError, type ErrorCode } from '../../shared-lib/app-error.ts';
import type { CalibrationReport } from '../../shared-lib/report/calibration-in-short.ts';
import type { RunSheet } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import type { SessionReport } from '../../shared-lib/run-sheet/session-model.ts';
import { readingCalibrationId } from '../../shared-lib/trial/assignment.ts';
import type { TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import type { ShareTools } from '../share-tools.ts';

type Shown = ShareTools['shown'];

/** So many records are read before samples and windows get their turn again. */
const READ_AT_ONCE = 4;

/** Trials with everything around them that a report tells of. */
export interface GatheredTrials {
  readonly records: TrialRecord[];
  /** In which they were pulled, by time. */
  readonly sessions: SessionReport[];
  readonly sheets: RunSheet[];
  /** That they are read by now. */
  readonly calibrations: CalibrationReport[];
  /** Of any calibration that they were ever read by; null: it is not stored. */
  readonly calibrationLabel: (calibrationId: string) => string | null;
}

/** Errors: those of `getTrial` and of what it names. Other benches' run sheets may be missing and are left out. */
export async function gatherTrials(shown: Shown, trialIds: readonly string[]): Promise<GatheredTrials> {
  const records = await readRecords(shown, trialIds);
  const sessions = await each(unique(records.map(({ summary }) => summary.sessionId)), (sessionId) =>
    shown.getSessionReport({ sessionId }),
  );
  const sheetIds = unique(
    records.flatMap(({ conditions }) => (conditions.place === null ? [] : [conditions.place.runSheetId])),
  );
  const sheets = await each(sheetIds, (runSheetId) =>
    orNull('run-sheet-not-found', () => shown.getRunSheet({ runSheetId })),
  );
  const calibrations = await each(unique(records.map(readingCalibrationId)), (calibrationId) =>
    shown.getCalibrationReport({ calibrationId }),
  );
  return {
    records,
    sessions: sessions.toSorted((one, other) => one.summary.startedAt.localeCompare(other.summary.startedAt)),
    sheets: sheets.filter((sheet) => sheet !== null),
    calibrations,
    calibrationLabel: await labelsOf(shown, records, calibrations),
  };
}

/** In pieces, so that a session of hundreds of trials does not hold up the bench. */
export async function readRecords(shown: Shown, trialIds: readonly string[]): Promise<TrialRecord[]> {
  const records: TrialRecord[] = [];
  for (const [index, trialId] of trialIds.entries()) {
    if (index % READ_AT_ONCE === READ_AT_ONCE - 1) await setImmediate();
    records.push(await shown.getTrial({ trialId }));
  }
  return records;
}

async function labelsOf(
  shown: Shown,
  records: readonly TrialRecord[],
  known: readonly CalibrationReport[],
): Promise<(calibrationId: string) => string | null> {
  const labels = new Map(known.map(({ version }) => [version.id, version.label]));
  const others = unique(
    records.flatMap(({ evaluations, conditions }) => [
      conditions.calibrationId,
      ...evaluations.map(({ calibrationId }) => calibrationId),
    ]),
  ).filter((id) => !labels.has(id));
  for (const calibrationId of others) {
    const report = await orNull('calibration-not-found', () => shown.getCalibrationReport({ calibrationId }));
    if (report !== null) labels.set(calibrationId, report.version.label);
  }
  return (calibrationId) => labels.get(calibrationId) ?? null;
}

export async function orNull<Result>(
  code: ErrorCode,
  ask: () => Result | Promise<Result>,
): Promise<Result | null> {
  try {
    return await ask();
  } catch (error) {
    if (error instanceof AppError && error.code === code) return null;
    throw error;
  }
}

async function each<Result>(
  ids: readonly string[],
  ask: (id: string) => Result | Promise<Result>,
): Promise<Result[]> {
  const results: Result[] = [];
  for (const id of ids) {
    results.push(await ask(id));
    await setImmediate();
  }
  return results;
}

function unique(ids: readonly string[]): string[] {
  return [...new Set(ids)];
}
