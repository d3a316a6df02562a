import { AppError } from '../../shared-lib/app-error.ts';
import { DEFINITION_VERSION } from '../../shared-lib/trial/definition-version.ts';
import type { TrialFigures } from '../../shared-lib/trial/trial-model.ts';
import { type ReadableDatabase, reading, type WritableDatabase } from './database.ts';
import { evaluateRecording, fitRate } from './recording-evaluation.ts';
import { readRecording } from './recording-repository.ts';
import { getTrial, newestFigures, saveEvaluation } from './trial-repository.ts';

/** What is taken otherwise than the trial has it; left out: as it is. */
export interface Assumptions {
  readonly calibrationId?: string | undefined;
  readonly onsetLevelNm?: number | undefined;
  /** Of the measuring curve. */
  readonly windowS?: number | undefined;
  /** Torques to which the times are asked for, instead of those that the trial was measured by. */
  readonly levelsNm?: readonly number[] | undefined;
}

/**
 * The figures of a trial that has ended, from its own counts. `levelsNm`: for one that has no figures yet; one that has
 * keeps its levels.
 *
 * Errors: AppError 'trial-not-found'; 'block-corrupt' naming the slots; 'calibration-not-found'.
 */
export function measureAnew(
  database: ReadableDatabase,
  trialId: string,
  levelsNm: readonly number[],
  assumed: Assumptions = {},
): TrialFigures {
  const record = getTrial(database, trialId);
  const recording = readRecording(database, trialId);
  const before = newestFigures(database, trialId);
  return evaluateRecording(database, record, recording, {
    sampleRateHz:
      record.sampleRateHz ?? fitRate(recording, record.conditions.profile.nominalRateHz).sampleRateHz,
    zeroAfterCounts: record.zeroAfterCounts,
    ...assumed,
    levelsNm: assumed.levelsNm ?? before?.timeToLevel.map(({ levelNm }) => levelNm) ?? levelsNm,
  });
}

/** Trials whose newest figures follow an older definition than this program's. */
export function countOutdated(database: ReadableDatabase): number {
  return reading(() =>
    Number(
      database
        .prepare<[number], number>(
          `SELECT count(*) FROM trial WHERE newest_definition < ? AND state <> 'recording'`,
        )
        .pluck()
        .get(DEFINITION_VERSION),
    ),
  );
}

/**
 * Measures one of them anew, the newest of the oldest definition first; the figures from before stay beneath. Null: none is
 * left but those in `except`.
 *
 * A trial that cannot be measured is named with what is wrong with it. Errors: AppErrors of a database that takes nothing
 * now; the trial is not to blame for these.
 */
export function evaluateNext(
  database: WritableDatabase,
  except: readonly string[],
  at: string,
): { readonly trialId: string; readonly problem: string | null } | null {
  const trialId = reading(() =>
    database
      .prepare<[number, string], string>(
        `SELECT id FROM trial
         WHERE newest_definition < ? AND state <> 'recording' AND id NOT IN (SELECT value FROM json_each(?))
         ORDER BY newest_definition, started_at DESC LIMIT 1`,
      )
      .pluck()
      .get(DEFINITION_VERSION, JSON.stringify(except)),
  );
  if (trialId === undefined) return null;
  try {
    saveEvaluation(database, trialId, measureAnew(database, trialId, []), at);
    return { trialId, problem: null };
  } catch (error) {
    if (error instanceof AppError && passing.has(error.code)) throw error;
    return { trialId, problem: error instanceof Error ? (error.stack ?? error.message) : String(error) };
  }
}

const passing: ReadonlySet<AppError['code']> = new Set(['database-locked', 'disk-full', 'storage-failed']);
