import BetterSqlite3 from 'better-sqlite3';
import type { RequestParams } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { type CurveTrial, curveAsTrial } from '../../shared-lib/exchange/curves/curve-trial.ts';
import type { ReadCurve } from '../../shared-lib/exchange/curves/read-curves.ts';
import type { WritableDatabase } from '../storage/database.ts';
import { translateStorageError } from '../storage/storage-errors.ts';
import type { Work } from '../work/work-tools.ts';
import { readCurvesFile } from './curves-file.ts';
import { storeCurves } from './curves-store.ts';

export type CurvesAsked = Omit<RequestParams<'importCurves'>, 'source'>;

export interface CurvesImportWork {
  readonly databasePath: string;
  readonly file: string;
  readonly fileName: string;
  readonly asked: CurvesAsked;
  readonly levelsNm: readonly number[];
  readonly softwareVersion: string;
  readonly operator: string;
  readonly at: string;
}

export interface CurveToStore {
  readonly curve: ReadCurve;
  readonly trial: CurveTrial;
  readonly toolName: string;
}

/** The recording's writer may just be packing a trial. */
const BUSY_TIMEOUT_MS = 30_000;
/** A watch that runs ahead is no reason to refuse. */
const FUTURE_MS = 24 * 3600 * 1000;

/**
 * Takes curves of a file in as trials, all of them or none.
 *
 * Errors: AppError 'import-refused' with what speaks against it; 'disk-full', 'database-locked', 'cancelled'.
 */
export const importCurves: Work<CurvesImportWork, { readonly trialIds: readonly string[] }> = async (
  work,
  tools,
) => {
  const { asked, at } = work;
  if (Date.parse(asked.measuredAt) > Date.parse(at) + FUTURE_MS) {
    throw refused('the time of the measurement lies in the future. Put the date right.');
  }
  tools.progress(0.1, 'Reading the file.');
  const { read, fingerprint } = readCurvesFile(work.file, work.fileName, asked.mapping);
  const [problem] = read.problems;
  if (problem !== undefined) throw refused(problem);
  const curves = read.curves.map((curve, index) => toStore(curve, asked, asked.toolNames[index]));
  if (new Set(curves.map(({ trial }) => trial.senseSign)).size > 1) {
    throw refused(
      'some of its columns are positive and others negative. Take those of one sign in, then the others.',
    );
  }
  tools.progress(0.5, 'Measuring.');
  await tools.pause();
  const database = openForWriting(work.databasePath);
  try {
    return { trialIds: storeCurves(database, work, { curves, fingerprint, remarks: read.remarks }) };
  } finally {
    database.close();
  }
};

function toStore(curve: ReadCurve, asked: CurvesAsked, toolName: string | undefined): CurveToStore {
  if (toolName === undefined) {
    throw refused(`“${curve.label}” has no tool. Name one for each column of torque.`);
  }
  const trial = curveAsTrial(curve, asked);
  if ('problem' in trial) throw refused(trial.problem);
  return { curve, trial, toolName };
}

function refused(why: string): AppError {
  return new AppError(
    'import-refused',
    `${why.slice(0, 1).toUpperCase()}${why.slice(1)} Nothing was taken in.`,
  );
}

function openForWriting(databasePath: string): WritableDatabase {
  try {
    const database = new BetterSqlite3(databasePath, { fileMustExist: true, timeout: BUSY_TIMEOUT_MS });
    database.pragma('synchronous = FULL');
    database.pragma('foreign_keys = ON');
    return database as WritableDatabase;
  } catch (error) {
    throw translateStorageError(error);
  }
}
